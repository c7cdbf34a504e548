// The views of the rule base: looking for something, one thing, a graph; what all of them show of the
// case that is along.
import { html, nothing } from "../lit.js";
import { toCase, toRules } from "../router.js";
import { state } from "../state.js";
import { along } from "./ask.js";
import { causeView } from "./cause.js";
import { checkView } from "./check.js";
import { factView } from "./fact.js";
import { findView, foundWords } from "./find.js";
import { graphView } from "./graph.js";
import { ruleView } from "./rule.js";

const VIEWS = {
  find: findView,
  cause: causeView,
  fact: factView,
  rule: ruleView,
  check: checkView,
  graph: graphView,
};

function caseLine() {
  const { route, open } = state;
  if (!route.case) return nothing;
  const without = html`<a href=${toRules(route)}>Without the case</a>`;
  if (!open || open.missing)
    return html`<p class="told-case">That case is not here. ${without}</p>`;
  if (!along()) return html`<p class="told-case">Opening the case. ${without}</p>`;
  return html`<p class="told-case">
    In this case: <a href=${toCase(open.id, "bay")}>${open.head.label || "No name yet"}</a>.
    ${without}
  </p>`;
}

const KINDS = { cause: "Cause", fact: "Fact", rule: "Rule", check: "Check" };

const kindLine = ({ kind, id } = state.route) =>
  KINDS[kind]
    ? html`<p class="small quiet what-kind">${KINDS[kind]} <span class="id">${id}</span></p>`
    : nothing;

const link = (route, words) => {
  const now = state.route.kind === (route.kind ?? "find") && state.route.graph === route.graph;
  return html`<a href=${toRules(route, state.route.case)} aria-current=${now ? "page" : nothing}
    >${words}</a
  >`;
};

export function body() {
  if (!state.catalogue)
    return html`<p class="quiet">
      ${state.sync.online ? "Opening" : "The rule base is not on this device yet, and there is no network."}
    </p>`;
  const opening = state.route.case && !along() && !state.open?.missing;
  return html`
    <nav class="rules-ways" aria-label="Rules">
      ${link({}, "Look up")} ${link({ kind: "graph", graph: "path" }, "Way")}
      ${link({ kind: "graph", graph: "evidence" }, "Evidence")}
    </nav>
    ${kindLine()} ${caseLine()} ${opening ? nothing : VIEWS[state.route.kind](state.route)}
  `;
}

export const spoken = () => (state.route.kind === "find" ? foundWords() : "");
