// The part: drag over notes (or Shift and the arrow keys) to mark a spot.

import { ask, drawing, here, made, tell, ways } from "./asking.js";
import { beats, put } from "./list.js";

const music = document.getElementById("music");
const card = document.getElementById("card");
const { score, part, at: wanted } = here();
const SVG = "http://www.w3.org/2000/svg";
let order = [];
let anchor = -1;
let at = -1;
let dragging = false;
let before = [-1, -1];
let asked = 0;

const lines = (staff) => staff.querySelector("path")?.getBBox() ?? staff.getBBox();

// Coloured rectangles behind notes, one for each bar that they stand in.
function tint(ids, kind, words = "") {
  const pads = new Map();
  for (const id of ids) {
    const group = document.getElementById(id);
    const staff = group?.closest("g.staff");
    const measure = group?.closest("g.measure");
    if (!staff || !measure) continue;
    const box = group.getBBox();
    const staffBox = lines(staff);
    const pad = pads.get(measure) ?? { left: Infinity, right: -Infinity, top: Infinity, bottom: -Infinity };
    pad.left = Math.min(pad.left, box.x - 120);
    pad.right = Math.max(pad.right, box.x + box.width + 120);
    pad.top = Math.min(pad.top, staffBox.y - 500, box.y - 60);
    pad.bottom = Math.max(pad.bottom, staffBox.y + 1200, box.y + box.height + 60);
    pads.set(measure, pad);
  }
  const rects = [];
  for (const [measure, pad] of pads) {
    const rect = document.createElementNS(SVG, "rect");
    rect.setAttribute("class", `tint ${kind}`);
    const sides = { x: pad.left, y: pad.top, width: pad.right - pad.left, height: pad.bottom - pad.top };
    for (const [name, value] of Object.entries(sides)) rect.setAttribute(name, value);
    if (words) {
      const title = document.createElementNS(SVG, "title");
      title.textContent = words;
      rect.append(title);
    }
    const under = kind === "hard" ? null : [...measure.querySelectorAll(":scope > rect.tint")].at(-1);
    if (under) under.after(rect);
    else measure.prepend(rect);
    rects.push(rect);
  }
  return rects;
}

function selection() {
  const [low, high] = anchor < at ? [anchor, at] : [at, anchor];
  return order.slice(low, high + 1);
}

function handle(rect, side, index) {
  const grip = document.createElementNS(SVG, "rect");
  grip.setAttribute("class", "grip");
  const x = Number(rect.getAttribute("x")) + (side === "last" ? Number(rect.getAttribute("width")) : 0);
  for (const [name, value] of Object.entries({ x: x - 70, y: rect.getAttribute("y"), width: 140, height: rect.getAttribute("height") }))
    grip.setAttribute(name, value);
  grip.addEventListener("pointerdown", (event) => {
    event.stopPropagation();
    const [low, high] = anchor < at ? [anchor, at] : [at, anchor];
    [anchor, at] = side === "last" ? [low, high] : [high, low];
    before = [anchor, at];
    dragging = true;
  });
  rect.parentNode.append(grip);
}

function mark() {
  music.querySelectorAll("rect.spot, rect.grip").forEach((rect) => rect.remove());
  if (at < 0) return;
  const rects = tint(selection(), "spot");
  if (!rects.length) return;
  handle(rects[0], "first");
  handle(rects.at(-1), "last");
}

async function settle() {
  const chosen = selection();
  const mine = ++asked;
  mark();
  try {
    const place = await ask("/api/place", { score, part, first: chosen[0], last: chosen.at(-1) });
    if (mine === asked) placed(place);
  } catch (error) {
    if (mine === asked) tell(error.message);
  }
}

function placed(place) {
  document.getElementById("place").textContent = place.words;
  card.dataset.at = place.at;
  document.getElementById("goal").placeholder = `goal ${place.tempo.split(" = ")[1]}`;
  card.classList.add("chosen");
  for (const element of card.querySelectorAll("button, input, a")) element.hidden = element.disabled = false;
  const address = new URL(location.href);
  address.searchParams.set("at", place.at);
  history.replaceState(null, "", address);
  ways({ at: place.at });
}

function under(event) {
  for (const element of document.elementsFromPoint(event.clientX, event.clientY)) {
    const group = element.closest?.('g[id^="n"]');
    if (group && order.includes(group.id)) return order.indexOf(group.id);
  }
  // Otherwise the nearest note of the line of music that is under the finger.
  let best = -1;
  let distance = Infinity;
  for (const [index, id] of order.entries()) {
    const box = document.getElementById(id)?.getBoundingClientRect();
    if (!box) continue;
    const dy = Math.abs(box.y + box.height / 2 - event.clientY);
    if (dy > 90) continue;
    const apart = Math.abs(box.x + box.width / 2 - event.clientX) + dy / 4;
    if (apart < distance) [best, distance] = [index, apart];
  }
  return best;
}

music.addEventListener("pointerdown", (event) => {
  const found = under(event);
  if (found < 0) return;
  dragging = true;
  before = [anchor, at];
  anchor = at = found;
  mark();
});
music.addEventListener("pointermove", (event) => {
  if (!dragging) return;
  const found = under(event);
  if (found < 0 || found === at) return;
  at = found;
  mark();
});
window.addEventListener("pointerup", () => {
  if (dragging) settle();
  dragging = false;
});
// Who scrolls with the finger marks nothing: what was marked before stays.
window.addEventListener("pointercancel", () => {
  if (dragging) [anchor, at] = before;
  dragging = false;
  mark();
});
music.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && card.dataset.at) {
    event.preventDefault();
    document.getElementById("add").click();
    return;
  }
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  if (!step || !order.length) return;
  event.preventDefault();
  at = at < 0 ? 0 : Math.min(Math.max(at + step, 0), order.length - 1);
  if (!event.shiftKey || anchor < 0) anchor = at;
  document.getElementById(order[at])?.scrollIntoView({ block: "nearest" });
  settle();
});

document.getElementById("add").addEventListener("click", async () => {
  const note = document.getElementById("note");
  const goal = document.getElementById("goal");
  if (!(await put(score, part, card.dataset.at, note.value.trim(), beats(goal.value)))) return;
  note.value = goal.value = "";
  tell(`${document.getElementById("place").textContent} is on the list`);
});
document.getElementById("typed").addEventListener("change", async (event) => {
  const value = event.target.value.trim();
  if (value) await choose(value);
});

// With the way in, the way out: asked once, and kept for the sheets of this window.
for (const id of ["approach", "landing"]) {
  const box = document.getElementById(id);
  const kept = sessionStorage.getItem(id);
  if (kept !== null) box.checked = kept === "1";
  box.addEventListener("change", () => sessionStorage.setItem(id, box.checked ? "1" : "0"));
}

async function choose(place) {
  try {
    const found = await ask("/api/place", { score, part, at: place });
    anchor = order.indexOf(found.notes[0]);
    at = order.indexOf(found.notes.at(-1));
    mark();
    placed(found);
    document.getElementById(order[at])?.scrollIntoView({ block: "center" });
  } catch (error) {
    tell(error.message);
  }
}

let list;
async function load() {
  const view = await ask("/api/part", { score, part, width: Math.round(music.clientWidth), scale: 45 });
  document.getElementById("title").textContent = [view.title, view.part].filter(Boolean).join(", ");
  document.title = view.part;
  music.replaceChildren(drawing(view.svg));
  order = Object.keys(view.notes);
  for (const one of view.hard) tint(one.notes, "hard", `${one.words}: ${one.why}`);
  document.getElementById("hard").replaceChildren(
    ...view.hard.map((one) =>
      made(
        "li",
        {},
        made("button", { type: "button", title: one.why, onclick: () => choose(one.heart) }, one.words, made("small", {}, one.why)),
      ),
    ),
  );
  if (!list && wanted) await choose(wanted);
  else mark();
  list = true;
}

let width = 0;
new ResizeObserver(() => {
  if (Math.abs(music.clientWidth - width) < 40) return;
  width = music.clientWidth;
  load().catch((error) => tell(error.message));
}).observe(music);
