// Play: a block of the sheet, its number, what clicks; right and not yet, by finger or pedal.

import { ask, change, drawing, here, made, tell } from "./asking.js";
import { LOW, Playing } from "./playing.js";

const { score, part, at } = here();
const where = { score, part: Number(part), at };
const music = document.getElementById("music");
const go = document.getElementById("go");
const number = document.getElementById("number");
const form = document.getElementById("how");
const lists = { item: form.elements.drill, click: form.elements.click, groove: form.elements.groove };
const playing = new Playing(where, light);
let told;
let block = 0; // number of the block on the stand
let now = 0; // index into the numbers
let shining = [];

function light(ids) {
  if (ids.join() === shining.join()) return;
  for (const id of shining) document.getElementById(id)?.classList.remove("sounds");
  for (const id of ids) document.getElementById(id)?.classList.add("sounds");
  shining = ids;
}

function choices() {
  const [click, groove] = [lists.click.value, lists.groove.value];
  const voices = [...form.querySelectorAll("[name=voice]:checked")].map((box) => box.value);
  return { block: block, item: Number(lists.item.value), number: told.numbers[now][0], click, groove, voices, count_in: 1 };
}

function show() {
  sessionStorage.setItem(`number ${score} ${part} ${at}`, told.numbers[now][0]);
  number.textContent = `${told.beat} = ${told.numbers[now][1]}`;
  document.getElementById("goal").textContent = `towards ${told.numbers.find(([exact]) => exact === told.goal)?.[1] ?? told.goal}`;
  document.getElementById("slower").disabled = now === 0;
  document.getElementById("faster").disabled = now === told.numbers.length - 1;
  go.textContent = playing.sounding ? "Stop" : "Play";
  go.setAttribute("aria-pressed", String(playing.sounding));
  for (const button of document.querySelectorAll("#blocks button")) {
    const chosen = Number(button.dataset.block) === block;
    button.setAttribute("aria-current", String(chosen));
    button.setAttribute("aria-pressed", String(chosen && playing.sounding));
  }
}

let last = Promise.resolve();
function act(work) {
  last = last.then(work).catch((error) => tell(error.message)).then(show);
  return last;
}

const toggle = () => act(async () => (playing.sounding ? playing.end() : await playing.begin(choices())));
const altered = () => act(async () => (playing.sounding ? await playing.change(choices()) : await playing.ready(choices())));

function step(by) {
  now = Math.min(Math.max(now + by, 0), told.numbers.length - 1);
  show();
  return altered();
}

// Every block plays at once; the one that sounds stops.
const put = (number) =>
  act(async () => {
    if (number === block && playing.sounding) return playing.end();
    playing.end();
    if (number !== block) {
      block = number;
      items();
      await draw();
    }
    await playing.begin(choices());
  });

function items() {
  const { items: found } = told.blocks.find((one) => one.number === block);
  lists.item.replaceChildren(...found.map((words, n) => made("option", { value: n }, words)));
  lists.item.parentElement.hidden = found.length < 2;
}

async function draw() {
  const query = { ...where, block, item: lists.item.value, width: Math.round(music.clientWidth) };
  const found = await ask("/api/music", query);
  shining = [];
  music.replaceChildren(drawing(found.svg));
}

// Right: the next number of the ladder; not yet: back to the one before. Both go into the log.
const judge = (right) =>
  act(async () => {
    const after = await change("/api/right", { ...where, block: block, number: told.numbers[now][0], right });
    now = Math.max(0, told.numbers.findIndex(([exact]) => exact === after.number));
    tell(after.words);
    if (playing.sounding) await playing.change(choices());
  });

go.addEventListener("click", toggle);
document.getElementById("slower").addEventListener("click", () => step(-1));
document.getElementById("faster").addEventListener("click", () => step(1));
document.getElementById("right").addEventListener("click", () => judge(true));
document.getElementById("notyet").addEventListener("click", () => judge(false));
document.getElementById("level").addEventListener("input", (event) => playing.setLevel(Number(event.target.value)));
form.addEventListener("submit", (event) => event.preventDefault());
form.addEventListener("change", async (event) => {
  if (event.target === lists.item) {
    playing.end();
    await draw().catch((error) => tell(error.message));
  }
  altered();
});
document.getElementById("climb").addEventListener("click", () =>
  act(async () => {
    const { work } = await import("./asking.js");
    const done = await work("/api/climb", where, (words) => tell(`${words} …`));
    tell("");
    made("a", { href: `${done.files[0].at}?save`, download: done.files[0].name }).click();
  }),
);

// Pedals send page or arrow keys: forward is right, back is not yet; Space plays and stops.
const KEYS = { PageDown: () => judge(true), ArrowRight: () => judge(true), ArrowDown: () => judge(true), PageUp: () => judge(false), ArrowLeft: () => judge(false), ArrowUp: () => judge(false), " ": toggle, "+": () => step(1), "-": () => step(-1) };
document.addEventListener("keydown", (event) => {
  if (event.target.closest("input, select, textarea, button, a") && event.key !== "PageDown" && event.key !== "PageUp") return;
  const key = KEYS[event.key];
  if (!key || event.ctrlKey || event.altKey || event.metaKey) return;
  event.preventDefault();
  if (!event.repeat) key();
});

async function begin() {
  told = await ask("/api/blocks", where);
  document.getElementById("title").textContent = `${told.part}: ${told.words}`;
  block = told.blocks[0].number;
  document.getElementById("blocks").replaceChildren(
    ...told.blocks.map((one) => {
      const button = made("button", { type: "button" }, one.words);
      button.dataset.block = one.number;
      button.addEventListener("click", () => put(one.number));
      return made("li", {}, button);
    }),
  );
  lists.click.replaceChildren(...told.clicks.map(([words, text]) => made("option", { value: text }, words)));
  lists.groove.replaceChildren(made("option", { value: "" }, "no drums"), ...told.grooves.map(([words, key]) => made("option", { value: key }, words)));
  const wanted = here().number ?? told.rungs[0];
  now = Math.max(0, told.numbers.findIndex(([exact]) => exact === wanted));
  document.getElementById("level").value = LOW;
  items();
  show();
  await draw();
  go.disabled = false;
  await playing.ready(choices());
}
window.standPlaying = playing;
begin().catch((error) => tell(error.message));
