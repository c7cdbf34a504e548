// The rule base, for reading. Its files come when it is first opened (rules/room.js).
import { later } from "../later.js";
import { html } from "../lit.js";
import { changed, state } from "../state.js";

const files = later(() => import("../rules/room.js"), "/rules/rules.css");

function again() {
  document.querySelector("main h1").focus({ preventScroll: true });
  files.bring();
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

/** What is said to those who do not see how much was found, or that nothing came. */
export const rulesSpoken = () => files.there()?.spoken() ?? (files.lacking() ? LACKING : "");

const opening = () =>
  files.lacking()
    ? html`<p>${LACKING} It is asked for again when the network is back.</p>
        <p class="actions"><button type="button" @click=${again}>Try again</button></p>`
    : html`<p class="quiet">Opening</p>`;

export function rulesView() {
  const room = files.wanted();
  const wide = state.route.kind === "graph" ? "wide" : "";
  return html`<div class="measure ${wide}">
    <h1 tabindex="-1">${rulesTitle(state.route)}</h1>
    ${room ? room.body() : opening()}
  </div>`;
}
