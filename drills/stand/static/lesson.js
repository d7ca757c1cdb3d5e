// A lesson: whose it is, for which instrument, and one file to take home.

import { ask, here, made, tell, work } from "./asking.js";

const form = document.getElementById("lesson");
const { score } = here();
const button = document.getElementById("handout");
let running; // what is being made; the button ends it

function names(id, found) {
  document.getElementById(id).replaceChildren(...found.map((value) => made("option", { value })));
}

async function known() {
  const { students, instruments } = await ask("/api/students");
  names("students", students);
  names("instruments", instruments);
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  if (running) return running.abort();
  const at = document.getElementById("at").value.split(",").map((one) => one.trim()).filter(Boolean);
  if (!at.length) return tell("say which bars, such as 33 or D-D:8");
  const field = (name) => form.elements[name].value.trim();
  running = new AbortController();
  button.textContent = "Stop";
  try {
    const asked = { score, part: Number(form.elements.from.value), at, student: field("student"), instrument: field("instrument") };
    const done = await work("/api/hand-out", asked, (words) => tell(`${words} …`), running.signal);
    tell([`Kept in your folder as ${done.kept}`, ...done.remarks].join(". "));
    const [packed, page] = done.files.map((file) => `${file.at}?save`);
    document.getElementById("made").replaceChildren(
      made("a", { class: "button", href: packed, download: done.files[0].name }, "Save it all (.zip)"),
      made("a", { class: "button", href: page, download: done.files[1].name }, "Only the page for the phone"),
    );
    await known();
  } catch (error) {
    tell(error.name === "AbortError" ? "The hand-out was not made." : error.message);
  } finally {
    running = null;
    button.textContent = "Make the hand-out";
  }
});

known().catch((error) => tell(error.message));
