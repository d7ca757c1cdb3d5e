// What was heard in a take: the verdict on the staff and in words, beside the take before, and
// any bar of it to be heard again, with or without a click.

import { ask, made, tell } from "./asking.js";
import { soundsOf } from "./engine.js";

const AROUND = 0.08; // seconds that are played before a bar begins

// A take as sound, cut where it is asked for; the click lies on it where the program says.
export class Replay {
  constructor(playing, key) {
    this.playing = playing;
    this.key = key;
    this.sources = [];
  }

  async ready() {
    const context = this.playing.context;
    await context.resume();
    if (!this.buffer) {
      const answer = await fetch(`/take/${this.key}`);
      if (!answer.ok) throw new Error("this take is no longer in the folder");
      try {
        this.buffer = await context.decodeAudioData(await answer.arrayBuffer());
      } catch {
        throw new Error("this browser cannot play such a recording by the bar");
      }
    }
    return context;
  }

  async play(begin, end, click) {
    const context = await this.ready();
    await soundsOf(context, [...new Set(click.map(([, , sound]) => sound))], this.playing.sounds);
    this.end();
    const from = Math.max(0, begin - AROUND);
    const when = context.currentTime + 0.05;
    this.start(new AudioBufferSourceNode(context, { buffer: this.buffer }), 1, when, from, Math.max(0.1, end - from));
    for (const [at, gain, sound] of click) {
      if (at < from || at >= end) continue;
      this.start(new AudioBufferSourceNode(context, { buffer: this.playing.sounds.get(sound) }), gain, when + at - from);
    }
    return when;
  }

  start(source, gain, ...times) {
    const level = new GainNode(source.context, { gain });
    source.connect(level).connect(this.playing.out);
    source.onended = () => level.disconnect();
    source.start(...times);
    this.sources.push(source);
  }

  end() {
    for (const source of this.sources) source.stop();
    this.sources = [];
  }
}

function lateness(note) {
  if (note.late === null || !note.off) return "";
  return `, ${Math.abs(note.late)} ms ${note.off}`;
}

function bars(found, replay) {
  const click = made("input", { type: "checkbox", disabled: !found.click.length });
  const play = (begin, end) => () => replay.play(begin, end, click.checked ? found.click : []).catch((error) => tell(error.message));
  const [first, last] = [found.bars[0], found.bars.at(-1)];
  const button = (words, begin, end) => made("button", { type: "button", class: "small", onclick: play(begin, end) }, words);
  return made(
    "div",
    { class: "bars" },
    made(
      "p",
      { class: "row" },
      ...found.bars.map((bar) => button(`Bar ${bar.number}`, bar.begin, bar.end)),
      found.bars.length > 1 ? button("All of it", first.begin, last.end) : "",
      made("button", { type: "button", class: "small", onclick: () => replay.end() }, "Stop"),
    ),
    made("label", { class: "tick" }, click, found.click.length ? "with a click" : "no click: no steady beat was heard"),
  );
}

function faults(found, replay) {
  const told = found.notes.filter((note) => note.call !== "right" || note.off);
  return made(
    "p",
    { class: "row faults" },
    ...told.map((note) => {
      const bar = found.bars.find(({ notes }) => notes[0] <= note.number && note.number <= notes[1]);
      const play = () => replay.play(note.seconds - 0.6, Math.min(bar?.end ?? Infinity, note.seconds + 1), []).catch((error) => tell(error.message));
      return made("button", { type: "button", class: "small", onclick: play, disabled: note.seconds === null }, `note ${note.number}: ${note.call}${lateness(note)}`);
    }),
  );
}

// Asks for the verdict and shows it in an element.
export async function judge(where, take, before, into, playing) {
  into.textContent = "listening …";
  try {
    const found = await ask("/api/verdict", { ...where, key: take.key, ...(before ? { before: before.key } : {}) });
    const replay = new Replay(playing, take.key);
    window.standReplay = replay; // for the tests, as standPlaying
    into.replaceChildren(
      made("p", { class: "verdict" }, found.refused || found.words),
      found.click_words ? made("p", {}, found.click_words) : "",
      found.pictures.length
        ? made("div", { class: "scroll", tabindex: 0, role: "group", "aria-label": "The verdict on the staff" }, ...found.pictures.map((src) => made("img", { src, class: "page", alt: found.words })))
        : "",
      found.bars.length ? bars(found, replay) : "",
      faults(found, replay),
      found.compared.length
        ? made("section", { class: "beside" }, made("h3", {}, "Beside the take before"), made("ul", {}, ...found.compared.map((line) => made("li", {}, line))))
        : "",
      found.more.length ? made("details", {}, made("summary", {}, "All that was heard"), made("ul", {}, ...found.more.map((line) => made("li", {}, line)))) : "",
    );
  } catch (error) {
    into.textContent = error.message;
  }
}
