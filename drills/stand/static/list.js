// The list of spots: the book of the folder, beside the part. Two windows and an editor agree.

import { ask, change, made, tell } from "./asking.js";

const list = document.getElementById("list");
const undo = document.getElementById("undo");
let book = { version: "", parts: [] };
let taken = null;
let dragged = null;

export function put(score, part, at, note, goal) {
  return act("put", { score, part: Number(part), at, note, goal });
}

// Beats a minute that were typed; nothing where nothing was.
export function beats(text) {
  const number = Math.round(Number(text.trim().replace(",", ".")));
  return text.trim() && number ? number : null;
}

async function act(what, data) {
  try {
    const after = await change(`/api/list/${what}`, { version: book.version, ...data });
    if (what === "take") offer({ part: data.part, spot: data.spot, taken: after.taken });
    else if (what !== "back") offer(null);
    show(after);
    return true;
  } catch (error) {
    tell(error.message);
    await look(true);
    return false;
  }
}

function offer(what) {
  taken = what;
  undo.hidden = !taken;
}

function small(words, label, act, off = false) {
  return made("button", { type: "button", class: "small", "aria-label": label, title: label, onclick: act, disabled: off }, words);
}

function spotItem(part, spot, index) {
  const last = part.spots.length - 1;
  const query = new URLSearchParams({ score: part.score, part: part.number, at: spot.at });
  const where = { part: part.index, spot: index };
  const note = made("input", { type: "text", value: spot.note, maxlength: 500, "aria-label": `Note for ${spot.words}`, placeholder: "a word of your own" });
  note.addEventListener("change", () => act("note", { ...where, note: note.value }));
  const goal = made("input", { type: "text", inputmode: "numeric", class: "goal", maxlength: 5, value: spot.goal ?? "", placeholder: "goal", "aria-label": `Goal for ${spot.words}, beats a minute` });
  goal.addEventListener("change", () => (beats(goal.value) ? act("goal", { ...where, goal: beats(goal.value) }) : look(true)));
  const item = made(
    "li",
    { draggable: "true", class: "spot" },
    made("a", { href: `/part?${query}` }, spot.words),
    made("span", { class: "said" }, note, goal),
    made(
      "span",
      { class: "row" },
      made("a", { class: "small", href: `/play?${query}` }, "Play"),
      made("a", { class: "small", href: `/sheet?${query}` }, "Print"),
      small("↑", `${spot.words}: earlier`, () => act("move", { ...where, to: index - 1 }), index === 0),
      small("↓", `${spot.words}: later`, () => act("move", { ...where, to: index + 1 }), index === last),
      small("×", `${spot.words}: off the list`, () => act("take", where)),
    ),
  );
  item.addEventListener("dragstart", (event) => {
    dragged = where;
    event.dataTransfer.effectAllowed = "move";
    event.dataTransfer.setData("text/plain", spot.words);
  });
  item.addEventListener("dragover", (event) => {
    if (dragged?.part === part.index) event.preventDefault();
  });
  item.addEventListener("drop", (event) => {
    event.preventDefault();
    if (dragged?.part === part.index && dragged.spot !== index) act("move", { ...dragged, to: index });
    dragged = null;
  });
  return item;
}

// The part as its heading, with the performing tempo, which the score may not say.
function heading(part) {
  const tempo = made("input", { type: "text", inputmode: "numeric", class: "goal", maxlength: 5, value: part.tempo ?? "", placeholder: "tempo", "aria-label": `Performing tempo of ${part.part || part.file}, beats a minute` });
  tempo.addEventListener("change", () => (beats(tempo.value) ? act("tempo", { part: part.index, tempo: beats(tempo.value) }) : look(true)));
  return made("div", { class: "said" }, made("h3", {}, part.part || part.file), tempo);
}

function show(after) {
  book = after;
  const busy = document.activeElement?.closest("#list input");
  if (busy) return;
  list.replaceChildren(
    ...book.parts.map((part) =>
      made(
        "li",
        {},
        heading(part),
        part.problem ? made("p", { class: "problem" }, part.problem) : "",
        made("ol", {}, ...part.spots.map((spot, index) => spotItem(part, spot, index))),
      ),
    ),
  );
  document.getElementById("empty").hidden = book.parts.some((part) => part.spots.length);
  document.dispatchEvent(new CustomEvent("list", { detail: book }));
}

async function look(always = false) {
  try {
    const found = await ask("/api/list", always ? {} : { known: book.version });
    if (found) show(found);
  } catch (error) {
    if (always) tell(error.message);
  }
}

undo.addEventListener("click", () => taken && act("back", taken).then((done) => done && offer(null)));
setInterval(() => document.visibilityState === "visible" && look(), 2000);
look(true);
