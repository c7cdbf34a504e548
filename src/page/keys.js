// Keys of the question on the screen. They rest while a field has the focus, and can be switched
// off altogether (WCAG 2.2, 2.1.4).
import { state } from "./state.js";

let current = null; // {digit(n), enter(), unsure(), skip(), back()}

export const setKeys = (keys) => {
  current = keys;
};

const WORDS = { Enter: "enter", u: "unsure", s: "skip", b: "back", " ": "space" };

function isTyping(target) {
  return target.closest("input, textarea, select, [contenteditable], dialog") !== null;
}

/** A button or link with the focus keeps its own Enter and blank. */
const isControl = (target) => target.closest("button, a, summary") !== null;

export function listen() {
  document.addEventListener("keydown", (event) => {
    if (!current || !state.device.keys || event.ctrlKey || event.metaKey || event.altKey) return;
    if (isTyping(event.target)) return;
    if ((event.key === "Enter" || event.key === " ") && isControl(event.target)) return;
    const name = /^\d$/.test(event.key) ? "digit" : WORDS[event.key];
    if (!name || !current[name]) return;
    if (current[name](Number(event.key)) !== false) event.preventDefault();
  });
}
