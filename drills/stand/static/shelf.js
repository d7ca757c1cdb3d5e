// The shelf: the scores of the folder with their players; drop a file to add one.

import { ask, made, tell, today } from "./asking.js";

const list = document.getElementById("scores");
const drop = document.getElementById("drop");
const file = document.getElementById("file");

async function shown(score) {
  const item = document.createElement("li");
  const name = document.createElement("strong");
  name.textContent = score.name;
  const players = document.createElement("ul");
  item.append(name, players);
  list.append(item);
  try {
    const found = await ask("/api/players", { score: score.id });
    if (found.title) name.textContent = `${found.title} (${score.name})`;
    for (const player of found.players) {
      const link = document.createElement("a");
      link.href = `/part?score=${score.id}&part=${player.number}`;
      link.textContent = player.name || `part ${player.number}`;
      const entry = document.createElement("li");
      entry.append(link);
      players.append(entry);
    }
  } catch (error) {
    const problem = document.createElement("li");
    problem.textContent = error.message;
    players.append(problem);
  }
}

async function load() {
  const { scores } = await ask("/api/shelf");
  list.replaceChildren();
  document.getElementById("none").hidden = scores.length > 0;
  for (const score of scores) await shown(score);
}

async function add(files) {
  for (const one of files) {
    tell(`${one.name} …`);
    try {
      const added = await ask("/api/scores", { name: one.name }, { method: "POST", body: one });
      tell(`${added.name} is on the shelf`);
    } catch (error) {
      tell(error.message);
    }
  }
  await load();
}

// The days of the project, as the plan has them.
async function days() {
  const found = await ask("/api/days", { day: today() });
  document.getElementById("days").hidden = !found.days.length;
  if (found.title) document.getElementById("project").textContent = found.title;
  document.getElementById("meet").textContent = found.rehearsal ? `First rehearsal: ${found.rehearsal}, in ${found.days_left} day${found.days_left === 1 ? "" : "s"}` : "";
  document.getElementById("daylist").replaceChildren(
    ...found.days.map((one) => {
      const words = `${one.heading}: ${one.done ? `${one.done} of ` : ""}${one.items} to play`;
      return made("li", {}, one.date === today() ? made("a", { class: "button", href: "/tonight" }, `Tonight. ${words}`) : words);
    }),
    found.more ? made("li", { class: "soft" }, `and ${found.more} more`) : "",
  );
}

file.addEventListener("change", () => add(file.files));
for (const name of ["dragover", "dragenter"])
  drop.addEventListener(name, (event) => {
    event.preventDefault();
    drop.classList.add("over");
  });
drop.addEventListener("dragleave", () => drop.classList.remove("over"));
drop.addEventListener("drop", (event) => {
  event.preventDefault();
  drop.classList.remove("over");
  add(event.dataTransfer.files);
});

load().catch((error) => tell(error.message));
days().catch((error) => tell(error.message));
