// The sheet: the pages as they will be printed, and the choices that redraw them.

import { ask, here, made, tell, work } from "./asking.js";

const { score, part, at, all } = here();
const pages = document.getElementById("pages");
const form = document.getElementById("choices");
const LABELS = {
  practice_minutes: "Minutes to practise",
  pages: "Pages at most",
  staff_size: "Size of the notes, 10 to 30",
  paper: "Paper",
  for_instrument: "For another instrument",
  for_pitch: "For it, keep",
  rhythm: "Rhythms of the line",
  sizes: "Notes at a time",
  order: "Order",
  approach: "With the way in",
  landing: "With the way out",
  student: "Room for the student's name",
  teacher: "Room for the teacher's word",
  functions: "What each note is in its chord",
  fingerings: "Draw the fingerings",
  all: "Everything that can be made",
};
const USUALLY = { practice_minutes: "15", pages: "as many as it takes", staff_size: "20", for_instrument: "that of the part", rhythm: "as the plan has it", sizes: "2 to 4" };
const WORDS = { sounding: "the notes as they sound", written: "the notes as written", a4: "A4", a3: "A3", letter: "Letter", "a4-landscape": "A4, on its side" };
let running;

function chosen() {
  const found = {};
  for (const field of form.elements) {
    if (!field.name) continue;
    if (field.type === "checkbox") {
      if (field.checked !== (field.dataset.usual === "true")) found[field.name] = field.checked ? "yes" : "no";
    } else if (field.value && field.value !== field.dataset.usual) {
      found[field.name] = field.value;
    }
  }
  if (found.rhythm) found.rhythm = found.rhythm.split(",").map((one) => one.trim()).filter(Boolean);
  return found;
}

function what(kind) {
  const choices = chosen();
  if (all) return ["/api/book", { kind, choices }];
  return ["/api/sheet", { score, part: Number(part), at: [at], kind, choices }];
}

// A newer request ends an older one.
async function draw() {
  running?.abort();
  const mine = (running = new AbortController());
  pages.setAttribute("aria-busy", "true");
  try {
    const done = await work(...what("svg"), (words) => tell(`${words} …`), mine.signal);
    pages.replaceChildren(
      ...done.files.map((file, n) => made("img", { src: file.at, alt: `Page ${n + 1} of ${done.files.length}`, class: "page" })),
    );
    tell([`${done.pages} page${done.pages === 1 ? "" : "s"}`, ...done.remarks].join(". "));
  } catch (error) {
    if (error.name !== "AbortError") tell(error.message);
  } finally {
    if (mine === running) pages.removeAttribute("aria-busy");
  }
}

async function file(kind) {
  const done = await work(...what(kind), (words) => tell(`${words} …`));
  tell("");
  return done.files[0];
}

document.getElementById("print").addEventListener("click", async () => {
  const tab = window.open("", "_blank");
  try {
    const { at: address } = await file("pdf");
    if (tab) tab.location = address;
    else location.assign(address);
  } catch (error) {
    tab?.close();
    tell(error.message);
  }
});
for (const button of document.querySelectorAll("[data-save]"))
  button.addEventListener("click", async () => {
    try {
      const { at: address, name } = await file(button.dataset.save);
      made("a", { href: `${address}?save`, download: name }).click();
    } catch (error) {
      tell(error.message);
    }
  });

function field(row) {
  const label = LABELS[row.name] ?? row.name;
  const common = { name: row.name, "data-usual": String(row.usual), title: row.says };
  if (row.kind === "yes") {
    const kept = sessionStorage.getItem(row.name);
    const on = kept === null ? row.usual === true : kept === "1";
    return made("label", { class: "tick" }, made("input", { type: "checkbox", ...common, checked: on }), label);
  }
  if (row.kind === "one of its words")
    return made("label", {}, label, made("select", common, ...row.words.map((word) => made("option", { value: word, selected: word === row.usual }, WORDS[word] ?? word))));
  const number = row.kind === "whole number" || row.name === "staff_size" || row.name === "practice_minutes";
  return made("label", {}, label, made("input", { type: "text", inputmode: number ? "numeric" : null, placeholder: USUALLY[row.name] ?? String(row.usual), list: row.name === "for_instrument" ? "instruments" : null, maxlength: 100, ...common }));
}

async function begin() {
  const [{ choices }, { instruments }] = await Promise.all([ask("/api/choices"), ask("/api/students")]);
  const names = made("datalist", { id: "instruments" }, ...instruments.map((value) => made("option", { value })));
  form.replaceChildren(...choices.map(field), names);
  let waiting;
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(draw, 250);
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  await draw();
}
begin().catch((error) => tell(error.message));
