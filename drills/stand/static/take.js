// Take: count-in and click in the headphones, the player on the microphone; kept in the folder.

import { ask, here, made, tell } from "./asking.js";
import { judge } from "./heard.js";
import { LOW, Playing } from "./playing.js";
import { microphone, Recording, wav } from "./recording.js";

const { score, part, at } = here();
const where = { score, part: Number(part), at };
const playing = new Playing(where, () => {});
const go = document.getElementById("go");
const choice = document.getElementById("number");
const KEPT = "latency";
const TAIL = 1; // seconds after the last note's end: the player may be late, the room rings
let told;
let recording;
let begun;
let stopping;

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
  const { count_in: counted, length, notes } = begun.loop;
  const last = Math.min(length, Math.max(...notes.map(([, , end]) => end)));
  tell("recording: the count-in, then once through");
  stopping = setTimeout(() => finish().catch((error) => tell(error.message)), (counted + last + TAIL) * 1000);
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
  const clicked = { begins: begins.toFixed(6), quarter: loop.quarter?.toFixed(9) ?? "" };
  const late = localStorage.getItem(KEPT);
  if (late !== null) clicked.latency = (Number(late) / 1000).toFixed(6);
  await send(wav(samples, done.context.sampleRate), { tempo: loop.tempo, ...clicked });
}

// With a take goes what its click was, so that it can be judged against that too.
async function send(body, click) {
  tell("keeping the take …");
  const query = { ...where, name: told.part, ...click };
  await ask("/api/takes", query, { method: "POST", body });
  tell("the take is in the folder");
  await list();
}

function show() {
  go.textContent = recording ? "Stop" : "Record";
  go.setAttribute("aria-pressed", String(Boolean(recording)));
}

function shown(take, before, first) {
  const when = new Date(take.recorded).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
  const into = made("div", { "aria-live": "polite", class: "heard" });
  const button = made("button", { type: "button", class: "small", "aria-label": `What was heard on ${when}` }, "What was heard");
  button.addEventListener("click", () => judge(where, take, before, into, playing));
  const sound = made("audio", { controls: true, preload: "none", src: `/take/${take.key}`, "aria-label": `Take of ${when}` });
  if (first) judge(where, take, before, into, playing);
  return made("li", {}, made("h3", {}, `${first ? "The last one: " : ""}${when}${take.tempo ? `, ${take.tempo}` : ""}`), sound, first ? "" : button, into);
}

async function list() {
  const { takes } = await ask("/api/takes", where);
  document.getElementById("takes").replaceChildren(...takes.map((take, n) => shown(take, takes[n + 1], n === 0)));
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
file.addEventListener("change", act(() => send(file.files[0], {})));

async function begin() {
  told = await ask("/api/blocks", where);
  document.getElementById("title").textContent = `${told.part}: ${told.words}`;
  const wanted = sessionStorage.getItem(`number ${score} ${part} ${at}`) ?? told.rungs[0];
  choice.replaceChildren(...told.numbers.map(([exact, shown]) => made("option", { value: exact, selected: exact === wanted }, `${told.beat} = ${shown}`)));
  document.getElementById("level").value = LOW;
  showLatency();
  go.disabled = false;
  await list();
}
begin().catch((error) => tell(error.message));
