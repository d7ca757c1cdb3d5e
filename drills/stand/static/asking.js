// Asks the server, and tells the player what went wrong in its own words.

const told = document.getElementById("told");

export function tell(words) {
  told.textContent = words;
}

export async function ask(path, query = {}, options = {}) {
  const address = new URL(path, location.origin);
  for (const [name, value] of Object.entries(query)) address.searchParams.set(name, value);
  const answer = await fetch(address, options);
  const body = answer.headers.get("content-type")?.includes("json") ? await answer.json() : {};
  if (!answer.ok) throw new Error(body.problem ?? "the program does not answer; start it again");
  return body;
}

export function here() {
  return Object.fromEntries(new URLSearchParams(location.search));
}

// The pit light is remembered on this device only.
const light = document.getElementById("light");
function lit(on) {
  document.documentElement.classList.toggle("pit", on);
  light.setAttribute("aria-pressed", String(on));
}
lit(localStorage.getItem("pit") === "1");
light.addEventListener("click", () => {
  const on = light.getAttribute("aria-pressed") !== "true";
  localStorage.setItem("pit", on ? "1" : "0");
  lit(on);
});
