// The section: tick players, see their bars in score, tap a chord and hear it.

import { ask, here, made, tell, work } from "./asking.js";
import { Engine, wayOut } from "./engine.js";
import { LOW } from "./playing.js";

const { score, part, at } = here();
const ticks = document.getElementById("players");
const place = document.getElementById("at");
place.value = at ?? "";
let running;
let audio;
let level = LOW;

function parts() {
  return [...ticks.querySelectorAll("input:checked")].map((box) => box.value);
}

async function draw() {
  running?.abort();
  const mine = (running = new AbortController());
  if (!place.value.trim()) return tell("say which bars, such as 33 or D-D:8");
  const places = place.value.split(",").map((one) => one.trim()).filter(Boolean);
  try {
    const done = await work("/api/section", { score, at: places, parts: parts(), choices: {} }, (words) => tell(`${words} …`), mine.signal);
    const leader = done.files.filter((file) => file.name.startsWith("Section") && file.name.endsWith(".svg"));
    document.getElementById("pages").replaceChildren(...leader.map((file, n) => made("img", { src: file.at, alt: `Page ${n + 1} of the section`, class: "page" })));
    document.getElementById("files").replaceChildren(
      ...done.files.filter((file) => file.name.endsWith(".pdf")).map((file) => made("li", {}, made("a", { href: `${file.at}?save`, download: file.name }, file.name))),
    );
    document.getElementById("chords").replaceChildren(...done.sections.flatMap(chords));
    document.getElementById("heard").hidden = !done.sections.length;
    document.getElementById("none").hidden = true;
    tell(done.remarks.join(" "));
  } catch (error) {
    if (error.name !== "AbortError") tell(error.message);
  }
}

function chords(section) {
  return section.beats.map((beat) => {
    const button = made("button", { type: "button", class: "small" }, `${beat.words}: ${beat.chord || "no chord"}`);
    button.addEventListener("click", () => sound(beat.keys).catch((error) => tell(error.message)));
    return made("li", {}, button, made("small", {}, beat.who.join("; ")));
  });
}

// Each chord as it is tuned, held for two seconds.
async function sound(keys) {
  audio ??= new AudioContext();
  await audio.resume();
  const engine = new Engine(audio, wayOut(audio, level), new Map());
  const events = keys.map((key) => [0, 0.25, "chord", 440 * 2 ** ((key - 69) / 12), 2, ["chord", 0.08, 0.15]]);
  engine.begin({ count_in: 0, counted: events, rounds: [], first: 0, bars: [0], length: 2, notes: [], waves: { chord: [1, 0.3, 0.15, 0.06] } }, audio.currentTime + 0.03);
}

document.getElementById("show").addEventListener("click", draw);
document.getElementById("level").addEventListener("input", (event) => {
  level = Number(event.target.value);
});

async function begin() {
  document.getElementById("level").value = level;
  const found = await ask("/api/players", { score });
  document.getElementById("title").textContent = found.title || "Section and lesson";
  ticks.replaceChildren(
    ...found.players.map((player) => made("label", { class: "tick" }, made("input", { type: "checkbox", value: player.number, checked: true }), player.name || `part ${player.number}`)),
  );
  document.getElementById("from").replaceChildren(
    ...found.players.map((player) => made("option", { value: player.number, selected: String(player.number) === part }, player.name || `part ${player.number}`)),
  );
}
begin().catch((error) => tell(error.message));
