// Asks the server, and tells the player what went wrong in its own words.

const told = document.getElementById("told");
const silent = "the program does not answer; start it again";

export function tell(words) {
  if (told.textContent === words) told.textContent = "";
  told.textContent = words;
}

// A touch puts it away; it stands at the end of the page and covers nothing for good.
told?.addEventListener("click", () => tell(""));

export async function ask(path, query = {}, options = {}) {
  const address = new URL(path, location.origin);
  for (const [name, value] of Object.entries(query)) address.searchParams.set(name, value);
  let answer;
  try {
    answer = await fetch(address, options);
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Error(silent);
  }
  if (answer.status === 204) return null;
  const body = answer.headers.get("content-type")?.includes("json") ? await answer.json() : {};
  if (!answer.ok) throw new Error(body.problem ?? silent);
  return body;
}

export function change(path, data) {
  return ask(path, {}, { method: "POST", body: JSON.stringify(data) });
}

// Long work: its stages as they come, then what was made.
export async function work(path, data, stage, signal) {
  const answer = await fetch(path, { method: "POST", body: JSON.stringify(data), signal });
  if (!answer.ok) throw new Error((await answer.json().catch(() => ({}))).problem ?? silent);
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let waiting = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) throw new Error("the work was ended; try again");
    waiting += value;
    const events = waiting.split("\n\n");
    waiting = events.pop();
    for (const event of events) {
      const [, kind, text] = /^event: (\w+)\ndata: (.*)$/s.exec(event) ?? [];
      const told = JSON.parse(text);
      if (kind === "stage") stage(told);
      if (kind === "problem") throw new Error(told);
      if (kind === "done") return told;
    }
  }
}

// The day as the player's own clock has it.
export function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

export function here() {
  return Object.fromEntries(new URLSearchParams(location.search));
}

export function made(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}

// A picture of music that the server made harmless; as part of the page, so that notes can be lit.
export function drawing(text) {
  return document.adoptNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement);
}

// The ways from screen to screen keep what is looked at.
export function ways(changed = {}) {
  const kept = { ...here(), ...changed };
  for (const link of document.querySelectorAll("a[data-way]")) {
    const needs = link.dataset.needs.split(" ").filter(Boolean);
    link.hidden = needs.some((name) => !kept[name]);
    const query = new URLSearchParams(needs.map((name) => [name, kept[name] ?? ""]));
    link.href = `${link.dataset.way}?${query}`;
    if (link.dataset.way === location.pathname) link.setAttribute("aria-current", "page");
  }
}
ways();

// The pit light is remembered on this device only.
const light = document.getElementById("light");
function lit(on) {
  document.documentElement.classList.toggle("pit", on);
  light?.setAttribute("aria-pressed", String(on));
}
lit(localStorage.getItem("pit") === "1");
light?.addEventListener("click", () => {
  const on = light.getAttribute("aria-pressed") !== "true";
  localStorage.setItem("pit", on ? "1" : "0");
  lit(on);
});
