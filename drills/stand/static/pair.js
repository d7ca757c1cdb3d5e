// A tablet sends the code of the terminal; one that came by the QR code has it after the #.

import { change, tell } from "./asking.js";

const form = document.getElementById("pair");
const code = form.elements.code;
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    await change("/pair", { code: code.value.replace(/\D/g, "") });
    location.replace("/");
  } catch (error) {
    tell(error.message);
  }
});
if (location.hash.length > 1) {
  code.value = location.hash.slice(1);
  history.replaceState(null, "", location.pathname);
}
