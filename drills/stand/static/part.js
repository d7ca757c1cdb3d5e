// The part: drag over notes (or Shift and the arrow keys) to mark a spot.

import { ask, here, tell } from "./asking.js";

const music = document.getElementById("music");
const { score, part } = here();
let view;
let order = [];
let anchor = 0;
let at = 0;
let dragging = false;

function noteOf(target) {
  const group = target.closest?.("g.note, g.chord, g[id^=n]");
  return group && order.includes(group.id) ? group.id : nearest;
}
let nearest;

function boxOf(id) {
  const group = document.getElementById(id);
  return group?.getBBox();
}

function tint(ids, kind) {
  music.querySelectorAll(`rect.tint.${kind}`).forEach((rect) => rect.remove());
  const pads = new Map();
  for (const id of ids) {
    const group = document.getElementById(id);
    const staff = group?.closest("g.staff");
    const measure = group?.closest("g.measure");
    if (!staff) continue;
    const box = group.getBBox();
    const lines = staff.querySelector("path")?.getBBox() ?? staff.getBBox();
    const found = pads.get(measure) ?? { left: Infinity, right: -Infinity, top: Infinity, bottom: -Infinity, measure };
    found.left = Math.min(found.left, box.x - 120);
    found.right = Math.max(found.right, box.x + box.width + 120);
    found.top = Math.min(found.top, lines.y - 500, box.y - 60);
    found.bottom = Math.max(found.bottom, lines.y + 1200, box.y + box.height + 60);
    pads.set(measure, found);
  }
  for (const pad of pads.values()) {
    const rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    rect.setAttribute("class", `tint ${kind}`);
    for (const [name, value] of [["x", pad.left], ["y", pad.top], ["width", pad.right - pad.left], ["height", pad.bottom - pad.top]])
      rect.setAttribute(name, value);
    pad.measure.prepend(rect);
  }
}

function selection() {
  const [low, high] = anchor < at ? [anchor, at] : [at, anchor];
  return order.slice(low, high + 1);
}

let asked = 0;
async function settle() {
  const chosen = selection();
  tint(chosen, "spot");
  const mine = ++asked;
  try {
    const place = await ask("/api/place", { score, part, first: chosen[0], last: chosen.at(-1) });
    if (mine !== asked) return;
    document.getElementById("place").textContent = place.words;
    document.getElementById("card").dataset.at = place.at;
  } catch (error) {
    if (mine === asked) tell(error.message);
  }
}

function under(event) {
  const point = document.elementsFromPoint(event.clientX, event.clientY);
  for (const element of point) {
    const group = element.closest?.('g[id^="n"]');
    if (group && order.includes(group.id)) return order.indexOf(group.id);
  }
  // Otherwise the nearest note of the bar that is under the finger.
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
  anchor = at = found;
  tint(selection(), "spot");
});
music.addEventListener("pointermove", (event) => {
  if (!dragging) return;
  const found = under(event);
  if (found < 0 || found === at) return;
  at = found;
  tint(selection(), "spot");
});
for (const name of ["pointerup", "pointercancel"])
  window.addEventListener(name, () => {
    if (dragging) settle();
    dragging = false;
  });
music.addEventListener("keydown", (event) => {
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  if (!step) return;
  event.preventDefault();
  at = Math.min(Math.max(at + step, 0), order.length - 1);
  if (!event.shiftKey) anchor = at;
  document.getElementById(order[at])?.scrollIntoView({ block: "nearest" });
  settle();
});

async function load() {
  const width = Math.round(music.clientWidth);
  view = await ask("/api/part", { score, part, width, scale: 45 });
  document.getElementById("title").textContent = [view.title, view.part].filter(Boolean).join(", ");
  document.title = view.part;
  const drawing = new DOMParser().parseFromString(view.svg, "image/svg+xml").documentElement;
  music.replaceChildren(document.adoptNode(drawing));
  order = Object.keys(view.notes);
  tint(view.hard.flatMap((one) => one.notes), "hard");
  const list = document.getElementById("hard");
  list.replaceChildren(
    ...view.hard.map((one) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = one.words;
      button.addEventListener("click", () => {
        anchor = order.indexOf(one.notes[0]);
        at = order.indexOf(one.notes.at(-1));
        document.getElementById(one.notes[0]).scrollIntoView({ block: "center" });
        settle();
      });
      const item = document.createElement("li");
      item.append(button);
      return item;
    }),
  );
}

let width = 0;
new ResizeObserver(() => {
  if (Math.abs(music.clientWidth - width) < 40) return;
  width = music.clientWidth;
  load().catch((error) => tell(error.message));
}).observe(music);
