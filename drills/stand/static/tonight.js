// Tonight: the plan's list with minutes running; the pedal goes through it, everything is logged.

import { ask, change, made, tell, today } from "./asking.js";
import { LOW, Playing } from "./playing.js";

const list = document.getElementById("items");
const go = document.getElementById("go");
const meeting = document.getElementById("meeting");
const two = (number) => String(number).padStart(2, "0");
const day = today();
let plan;
let at = 0; // index of the item that is played
let left = 0; // seconds
let running = false;
let playing = null;
let level = LOW;

const item = () => plan.items[at];

function show() {
  list.replaceChildren(
    ...plan.items.flatMap((one, n) => {
      const done = plan.done.includes(one.number);
      const row = made(
        "li",
        { class: n === at ? "current" : "", "aria-current": n === at ? "step" : null },
        made("button", { type: "button", class: "small", "aria-label": `Go to ${one.number}: ${one.name}`, onclick: () => to(n) }, String(one.number)),
        made("span", {}, `${one.name}: ${one.words}`, made("small", {}, `${one.minutes} min, ${one.from === one.to ? one.from : `${one.from} to ${one.to}`}`)),
        made("span", { class: "done", "aria-label": done ? "done" : "not done yet" }, done ? "✓" : ""),
      );
      return one.rest ? [row, made("li", { class: "rest" }, `${one.rest} minutes of rest`)] : [row];
    }),
  );
  clock();
}

function clock() {
  document.getElementById("left").textContent = plan.items.length ? `${Math.floor(left / 60)}:${two(left % 60)}` : "";
  document.getElementById("what").textContent = plan.items.length ? `${item().number}. ${item().name}: ${item().words}` : "";
  go.textContent = running ? "Stop" : "Begin";
  go.setAttribute("aria-pressed", String(running));
}

function to(n) {
  playing?.end();
  playing = null;
  at = Math.min(Math.max(n, 0), plan.items.length - 1);
  left = item().minutes * 60;
  document.getElementById("reached").value = item().to;
  show();
  if (running) sound();
}

// The item's click, from its first number on; no hand is needed.
async function sound() {
  const { score, at: place, low, block } = item();
  try {
    const { players } = await ask("/api/players", { score });
    const part = players.find((one) => one.name === item().part)?.number ?? 1;
    playing = new Playing({ score, part, at: place }, () => {});
    playing.setLevel(level);
    await playing.begin({ full: true, block, item: 0, number: low, click: "", groove: "", voices: [], count_in: 1 });
  } catch (error) {
    tell(error.message);
  }
}

async function tick(right) {
  const reached = document.getElementById("reached").value.trim();
  const asked = { day, item: item().number, number: reached, right };
  try {
    const done = await change("/api/tick", asked);
    tell([done.words, ...done.remarks].join(". "));
    plan.done.push(item().number);
    if (at < plan.items.length - 1) to(at + 1);
    else {
      running = false;
      playing?.end();
      show();
      tell("that was all for tonight");
    }
  } catch (error) {
    tell(error.message);
  }
}

function toggle() {
  running = !running;
  if (running) sound();
  else playing?.end();
  clock();
}

setInterval(() => {
  if (!running || !left) return;
  left -= 1;
  if (!left) tell("the minutes of this one are over: forward takes it into the log");
  clock();
}, 1000);

go.addEventListener("click", toggle);
document.getElementById("done").addEventListener("click", () => tick(1));
document.getElementById("notyet").addEventListener("click", () => tick(0));
document.getElementById("level").addEventListener("input", (event) => {
  level = Number(event.target.value);
  playing?.setLevel(level);
});
// The day to meet stands in the book, where the command line and another window find it.
meeting.addEventListener("change", async () => {
  try {
    const { version } = await ask("/api/list");
    await change("/api/list/meeting", { version, day: meeting.value });
    await load();
  } catch (error) {
    tell(error.message);
  }
});
const KEYS = { PageDown: () => tick(1), ArrowRight: () => tick(1), ArrowDown: () => tick(1), PageUp: () => tick(0), ArrowLeft: () => tick(0), ArrowUp: () => tick(0), " ": toggle };
document.addEventListener("keydown", (event) => {
  const pedal = event.key === "PageDown" || event.key === "PageUp";
  if (event.target.closest("input, select, button, a") && !pedal) return;
  if (!KEYS[event.key] || !plan?.items.length || event.repeat) return;
  event.preventDefault();
  KEYS[event.key]();
});

let turn = 0;

async function load() {
  const mine = ++turn;
  document.getElementById("level").value = level;
  let found;
  try {
    found = await ask("/api/tonight", { day });
  } catch (error) {
    if (mine === turn) document.getElementById("title").textContent = "Tonight";
    throw error;
  }
  if (mine !== turn) return;
  plan = found;
  meeting.value = plan.rehearsal;
  tell("");
  document.getElementById("title").textContent = plan.items.length ? plan.heading : plan.rehearsal ? "Nothing is to be played tonight" : "When is the first rehearsal?";
  document.getElementById("short").textContent = plan.shortage.map((line) => line.trim()).join("; ");
  document.getElementById("now").hidden = !plan.items.length;
  if (plan.items.length) to(Math.max(0, plan.items.findIndex((one) => !plan.done.includes(one.number))));
  if (!plan.rehearsal) return;
  const ready = await ask("/api/ready", { day });
  document.getElementById("ready").replaceChildren(made("img", { src: `${ready.picture}?${Date.now()}`, class: "page", alt: ready.rows.map((row) => `${row.name}: ${row.reached ?? "never played"} of ${row.goal}`).join("; ") }));
}
load().catch((error) => tell(error.message));
