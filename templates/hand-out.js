"use strict";
(() => {
  const key = "drills " + document.body.dataset.key;
  const boxes = document.querySelectorAll("input[data-box]");
  const read = () => {
    try {
      return new Set(JSON.parse(localStorage.getItem(key) || "[]"));
    } catch {
      return new Set();
    }
  };
  const ticked = read();
  for (const box of boxes) {
    box.checked = ticked.has(box.dataset.box);
    box.addEventListener("change", () => {
      box.checked ? ticked.add(box.dataset.box) : ticked.delete(box.dataset.box);
      try {
        localStorage.setItem(key, JSON.stringify([...ticked]));
      } catch {
        /* private windows keep nothing */
      }
    });
  }
  const players = document.querySelectorAll("audio");
  for (const one of players) {
    one.addEventListener("play", () => {
      for (const other of players) if (other !== one) other.pause();
    });
  }
})();
