// Take: count-in and click in the headphones, the player on the microphone; kept in the folder.

import { ask, here, made, tell } from "./asking.js";
import { LOW, Playing } from "./playing.js";
import { microphone, Recording, wav } from "./recording.js";

const { score, part, at } = here();
const where = { score, part: Number(part), at };
const playing = new Playing(where, () => {});
const go = document.getElementById("go");
const choice = document.getElementById("number");
const KEPT = "latency";
let told;
let recording;
let begun;
let stopping;

const latency = () => Number(localStorage.getItem(KEPT) ?? 0);

function showLatency() {
  const kept = localStorage.getItem(KEPT);
  document.getElementById("latency").textContent =
    kept === null ? "The delay of this device is not measured yet." : `This device answers ${Number(kept).toFixed(1)} ms late; that is taken into account.`;
}

async function record() {
  const stream = await microphone();
  const context = playing.context;
  await context.resume();
  recording = new Recording(context, stream);
  await recording.begin();
  const click = document.getElementById("click").checked ? "" : "none";
  begun = await playing.begin({ block: 1, item: 0, number: choice.value, click, groove: "", voices: [], count_in: 1 });
  const lasts = begun.loop.count_in + begun.loop.length;
  tell("recording: the count-in, then once through");
  stopping = setTimeout(() => finish().catch((error) => tell(error.message)), (lasts + 0.8) * 1000);
  show();
}

async function finish() {
  clearTimeout(stopping);
  if (!recording) return;
  const [done, { when, loop }] = [recording, begun];
  recording = null;
  playing.end();
  show();
  const samples = done.end();
  const begins = when + loop.count_in - done.began;
  await send(wav(samples, done.context.sampleRate), begins, loop.tempo);
}

async function send(body, begins, tempo) {
  tell("keeping the take …");
  const query = { ...where, name: told.part, tempo, begins: begins.toFixed(6), latency: (latency() / 1000).toFixed(6) };
  await ask("/api/takes", query, { method: "POST", body });
  tell("the take is in the folder");
  await list();
}

function show() {
  go.textContent = recording ? "Stop" : "Record";
  go.setAttribute("aria-pressed", String(Boolean(recording)));
}

// The verdict in words and on the staff; a touch on a note plays the take from there.
async function judge(take, into, sound) {
  into.textContent = "listening …";
  try {
    const found = await ask("/api/verdict", { ...where, key: take.key });
    const faults = found.notes.filter((note) => note.call !== "right" || note.off);
    into.replaceChildren(
      made("p", { class: "verdict" }, found.refused || found.words),
      ...found.pictures.map((src) => made("img", { src, class: "page", alt: found.words })),
      made(
        "p",
        { class: "row" },
        ...faults.map((note) => {
          const late = note.late === null ? "" : `, ${Math.abs(note.late)} ms ${note.late < 0 ? "early" : "late"}`;
          const play = () => {
            sound.currentTime = Math.max(0, (note.seconds ?? 0) - 1);
            sound.play();
          };
          return made("button", { type: "button", class: "small", onclick: play, disabled: note.seconds === null }, `note ${note.number}: ${note.call}${late}`);
        }),
      ),
    );
  } catch (error) {
    into.textContent = error.message;
  }
}

function shown(take, first) {
  const when = new Date(take.recorded).toLocaleString();
  const sound = made("audio", { controls: true, preload: "none", src: `/take/${take.key}`, "aria-label": `Take of ${when}` });
  const into = made("div", { "aria-live": "polite" });
  const button = made("button", { type: "button", class: "small", onclick: () => judge(take, into, sound) }, "What was heard");
  const item = made("li", {}, made("p", {}, `${first ? "The last one: " : ""}${when}, ${take.tempo || "your own tempo"}`), sound, button, into);
  if (first) judge(take, into, sound);
  return item;
}

async function list() {
  const { takes } = await ask("/api/takes", where);
  document.getElementById("takes").replaceChildren(...takes.map((take, n) => shown(take, n === 0)));
  document.getElementById("none").hidden = takes.length > 0;
}

// The delay from what is sent out to what comes back, by a loop of clicks.
async function calibrate() {
  tell("listening to eight clicks …");
  const context = playing.context;
  await context.resume();
  const measuring = new Recording(context, await microphone());
  await measuring.begin();
  await new Promise((after) => setTimeout(after, 300));
  const length = Math.round(0.004 * context.sampleRate);
  const buffer = new AudioBuffer({ length, numberOfChannels: 1, sampleRate: context.sampleRate });
  buffer.copyToChannel(Float32Array.from({ length }, (_, n) => Math.sin((2 * Math.PI * 1500 * n) / context.sampleRate)), 0);
  const first = context.currentTime + 0.3;
  for (let n = 0; n < 8; n += 1) {
    const source = new AudioBufferSourceNode(context, { buffer });
    source.connect(new GainNode(context, { gain: 3 })).connect(playing.out);
    source.start(first + 0.6 * n);
  }
  await new Promise((after) => setTimeout(after, 5800));
  const body = wav(measuring.end(), context.sampleRate);
  const clicks = Array.from({ length: 8 }, (_, n) => (first + 0.6 * n - measuring.began).toFixed(6)).join(",");
  const found = await ask("/api/latency", { clicks }, { method: "POST", body });
  localStorage.setItem(KEPT, String(found.milliseconds));
  showLatency();
  tell("measured");
}

const act = (work) => () => work().catch((error) => tell(error.message));
go.addEventListener("click", act(() => (recording ? finish() : record())));
document.getElementById("calibrate").addEventListener("click", act(calibrate));
document.getElementById("level").addEventListener("input", (event) => playing.setLevel(Number(event.target.value)));
const file = document.getElementById("file");
file.addEventListener("change", act(() => send(file.files[0], 0, "")));

async function begin() {
  told = await ask("/api/blocks", where);
  document.getElementById("title").textContent = `${told.part}: ${told.words}`;
  choice.replaceChildren(...told.numbers.map(([exact, shown]) => made("option", { value: exact, selected: exact === told.rungs[0] }, `${told.beat} = ${shown}`)));
  document.getElementById("level").value = LOW;
  showLatency();
  go.disabled = false;
  await list();
}
begin().catch((error) => tell(error.message));
