// The rule base, for reading. Its files come when it is first opened (rules/room.js).
import { html } from "../lit.js";
import { changed, state } from "../state.js";

let room = null;
let coming = false;

function sheet() {
  const link = document.createElement("link");
  Object.assign(link, { rel: "stylesheet", href: "/rules/rules.css" });
  return new Promise((done) => {
    link.onload = link.onerror = done;
    document.head.append(link);
  });
}

async function bring() {
  coming = true;
  try {
    [room] = await Promise.all([import("../rules/room.js"), sheet()]);
  } catch {
    coming = false;
  }
  changed();
}

const GRAPHS = { path: "The way through the checks", evidence: "Causes and their evidence" };

export const capital = (words) => words[0].toUpperCase() + words.slice(1);

export function rulesTitle({ kind, id, graph }) {
  if (kind === "find") return "Rules";
  if (kind === "graph") return GRAPHS[graph];
  const { causes, facts, checks } = state.catalogue ?? {};
  const names = {
    cause: causes?.get(id)?.name,
    fact: facts?.get(id)?.ask,
    check: checks?.get(id)?.what,
  };
  return names[kind] ?? capital(id.replaceAll("_", " "));
}

/** What is said to those who do not see how much was found. */
export const rulesSpoken = () => room?.spoken() ?? "";

export function rulesView() {
  if (!room && !coming) bring();
  const wide = state.route.kind === "graph" ? "wide" : "";
  return html`<div class="measure ${wide}">
    <h1 tabindex="-1">${rulesTitle(state.route)}</h1>
    ${room ? room.body() : html`<p class="quiet">Opening</p>`}
  </div>`;
}
