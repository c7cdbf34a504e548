// The rule base, for reading. Its files come when it is first opened (rules/room.js).
import { html } from "../lit.js";
import { changed, state } from "../state.js";

let room = null;
let coming = false;
let failedAt = null; // state.tries when it last did not come
let sheet = null;

function bringSheet() {
  if (sheet) return sheet;
  const link = document.createElement("link");
  Object.assign(link, { rel: "stylesheet", href: "/rules/rules.css" });
  sheet = new Promise((done, failed) => {
    link.onload = done;
    link.onerror = failed;
  }).catch((fault) => {
    link.remove();
    sheet = null;
    throw fault;
  });
  document.head.append(link);
  return sheet;
}

async function bring() {
  coming = true;
  const tries = state.tries;
  try {
    [room] = await Promise.all([import("../rules/room.js"), bringSheet()]);
  } catch {
    failedAt = tries;
  }
  coming = false;
  changed();
}

// The network may be back before anything else has asked it.
addEventListener("online", () => {
  failedAt = null;
  changed();
});

function again() {
  document.querySelector("main h1").focus({ preventScroll: true });
  bring();
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

const LACKING = "The rule base did not come to this device.";
const lacking = () => !room && !coming && failedAt === state.tries;

/** What is said to those who do not see how much was found, or that nothing came. */
export const rulesSpoken = () => room?.spoken() ?? (lacking() ? LACKING : "");

const opening = () =>
  lacking()
    ? html`<p>${LACKING} It is asked for again when the network is back.</p>
        <p class="actions"><button type="button" @click=${again}>Try again</button></p>`
    : html`<p class="quiet">Opening</p>`;

export function rulesView() {
  if (!room && !coming && !lacking()) bring();
  const wide = state.route.kind === "graph" ? "wide" : "";
  return html`<div class="measure ${wide}">
    <h1 tabindex="-1">${rulesTitle(state.route)}</h1>
    ${room ? room.body() : opening()}
  </div>`;
}
