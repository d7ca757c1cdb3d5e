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
let step = 0; // index into its numbers
let reached = null; // the highest of them that was right
let left = 0; // seconds
let running = false;
let resting = false;
let playing = null;
let level = LOW;

const item = () => plan.items[at];
const number = () => item().numbers[step];

function show() {
  list.replaceChildren(
    ...plan.items.flatMap((one, n) => {
      const done = plan.done.includes(one.number);
      const row = made(
        "li",
        { class: n === at ? "current" : "", "aria-current": n === at ? "step" : null },
        made("button", { type: "button", class: "small", "aria-label": `Go to ${one.number}: ${one.name}`, onclick: () => to(n) }, String(one.number)),
        made("span", {}, `${one.name}: ${one.words}`, made("small", {}, `${one.minutes} min, ${[...new Set([one.numbers[0][1], one.numbers.at(-1)[1]])].join(" to ")}`)),
        made("span", { class: "done", "aria-label": done ? "done" : "not done yet" }, done ? "✓" : ""),
      );
      return one.rest ? [row, made("li", { class: "rest" }, `${one.rest} minutes of rest`)] : [row];
    }),
  );
  clock();
}

function say(id, words) {
  const element = document.getElementById(id);
  if (element.textContent !== words) element.textContent = words;
}

function clock() {
  const some = plan.items.length > 0;
  const plays = some && !resting;
  const top = plays ? `towards ${item().numbers.at(-1)[1]}` : "";
  say("left", some ? `${Math.floor(left / 60)}:${two(left % 60)}` : "");
  say("what", plays ? `${item().number}. ${item().name}: ${item().words}` : some ? "Rest, and put the instrument down." : "");
  say("number", plays ? `at ${number()[1]}` : "");
  say("top", plays && reached ? `${reached[1]} was right, ${top}` : top);
  go.textContent = running ? "Stop" : "Begin";
  go.setAttribute("aria-pressed", String(running));
}

function to(n) {
  quiet();
  resting = false;
  at = Math.min(Math.max(n, 0), plan.items.length - 1);
  step = 0;
  reached = null;
  left = item().minutes * 60;
  show();
  if (running) sound();
}

function quiet() {
  playing?.end();
  playing = null;
}

const choices = () => ({ full: true, block: item().block, item: 0, number: number()[0], click: "", groove: "", voices: [], count_in: 1 });

// The item's click, from its first number on; no hand is needed.
async function sound() {
  const { score, at: place } = item();
  try {
    const { players } = await ask("/api/players", { score });
    const part = players.find((one) => one.name === item().part)?.number ?? 1;
    quiet();
    playing = new Playing({ score, part, at: place }, () => {});
    playing.setLevel(level);
    await playing.begin(choices());
  } catch (error) {
    tell(error.message);
  }
}

// Right: the next number, while it sounds; at the last one, or when the minutes are over, the item
// goes into the log and the next one begins. Not yet: the number before.
async function judge(right) {
  if (!running) return toggle();
  if (resting) return to(at + 1);
  if (right && (reached === null || step >= item().numbers.indexOf(reached))) reached = number();
  const last = right ? step === item().numbers.length - 1 : false;
  if (last || !left) return done();
  step = Math.min(Math.max(step + (right ? 1 : -1), 0), item().numbers.length - 1);
  clock();
  try {
    if (playing?.sounding) await playing.change(choices());
  } catch (error) {
    tell(error.message);
  }
}

// Into the log with the number that was right, and on to the next one.
async function done() {
  const asked = { day, item: item().number, number: reached?.[0] ?? "", right: reached ? 1 : 0 };
  try {
    const told = await change("/api/tick", asked);
    tell([told.words, ...told.remarks].join(". "));
    plan.done.push(item().number);
  } catch (error) {
    return tell(error.message);
  }
  if (at === plan.items.length - 1) {
    running = false;
    quiet();
    show();
    return tell("That was all for tonight.");
  }
  if (!item().rest || !running) return to(at + 1);
  quiet();
  resting = true;
  left = item().rest * 60;
  show();
}

function toggle() {
  running = !running;
  if (!running) quiet();
  else if (!resting) sound();
  clock();
}

setInterval(() => {
  if (!running || !left) return;
  left -= 1;
  if (!left) tell(resting ? "The rest is over: forward goes on." : "The minutes of this one are over: forward or back takes it into the log.");
  clock();
}, 1000);

go.addEventListener("click", toggle);
document.getElementById("right").addEventListener("click", () => judge(true));
document.getElementById("notyet").addEventListener("click", () => judge(false));
document.getElementById("next").addEventListener("click", () => (resting ? to(at + 1) : done()));
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
const forward = () => judge(true);
const back = () => judge(false);
const KEYS = { PageDown: forward, ArrowRight: forward, ArrowDown: forward, PageUp: back, ArrowLeft: back, ArrowUp: back, " ": toggle };
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
  window.standTonight = plan; // for the tests, as standPlaying
  meeting.value = plan.rehearsal;
  tell("");
  document.getElementById("title").textContent = plan.items.length ? plan.heading : plan.rehearsal ? "Nothing is to be played tonight" : "When is the first rehearsal?";
  document.getElementById("short").replaceChildren(...plan.shortage.map((line) => made("li", {}, line.trim().replace(/ {2,}/, ": ").replaceAll(/ {2,}/g, " "))));
  document.getElementById("now").hidden = !plan.items.length;
  if (plan.items.length) to(Math.max(0, plan.items.findIndex((one) => !plan.done.includes(one.number))));
  if (!plan.rehearsal) return;
  const ready = await ask("/api/ready", { day });
  const far = (row) => `${row.name}: ${row.reached ? `${row.reached} of ${row.goal}` : `not played yet, goal ${row.goal}`}${row.ready ? ", ready" : ""}`;
  document.getElementById("ready").replaceChildren(
    made("ul", {}, ...ready.rows.map((row) => made("li", {}, far(row)))),
    made("div", { class: "scroll", tabindex: 0, role: "group", "aria-label": "The picture of readiness" }, made("img", { src: `${ready.picture}?${Date.now()}`, class: "page", alt: "How far each passage has come from day to day, and how far it is expected to come" })),
  );
}
load().catch((error) => tell(error.message));
