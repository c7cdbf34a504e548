// Looking for something in the rule base: every word must be in it.
import { html, nothing } from "../lit.js";
import { segments } from "../parts/segments.js";
import { changed, memory } from "../state.js";
import { ruleBase } from "./ask.js";
import { search } from "./search.js";
import { thingLink } from "./words.js";

const FEW = 8; // of each kind, until one kind is chosen
const MANY = 100; // of that one, and again with every press of the button
const NAMES = {
  cause: ["cause", "causes"],
  fact: ["fact", "facts"],
  rule: ["rule", "rules"],
  check: ["check", "checks"],
};
const CHOICE = { all: "All", cause: "Causes", fact: "Facts", rule: "Rules", check: "Checks" };

const counted = (kind, count) => `${count} ${NAMES[kind][count === 1 ? 0 : 1]}`;

const mineNow = () => memory("rules", { query: "", kind: "all", most: MANY, found: null });

/** "2 causes, 5 facts", said when it has come to rest. */
export function foundWords() {
  const { query, kind, found } = mineNow();
  if (!query.trim() || !found) return "";
  const parts = found
    .filter((group) => group.found.length && (kind === "all" || group.kind === kind))
    .map((group) => counted(group.kind, group.found.length));
  return parts.join(", ") || "Nothing found";
}

/** The rest of a kind: that kind alone, or more of it. */
function restButton({ kind, found }, shown, mine) {
  if (shown >= found.length) return nothing;
  const alone = () => {
    Object.assign(mine, { kind, most: MANY });
    changed();
    requestAnimationFrame(() => document.getElementById(`found-${kind}`)?.focus());
  };
  const more = () => {
    mine.most += MANY;
    changed();
  };
  return mine.kind === "all"
    ? html`<button type="button" @click=${alone}>All ${counted(kind, found.length)}</button>`
    : html`<button type="button" @click=${more}>
        ${Math.min(MANY, found.length - shown)} more
      </button>`;
}

function groupView(group, mine) {
  const { kind, found } = group;
  const few = found.slice(0, mine.kind === "all" ? FEW : mine.most);
  return html`<section aria-labelledby="found-${kind}">
    <h2 id="found-${kind}" tabindex="-1">${counted(kind, found.length)}</h2>
    <ul class="things">
      ${few.map(
        (thing) =>
          html`<li>
            ${thingLink(kind, thing.id, thing.name)}
            ${thing.under ? html`<span class="small quiet words">${thing.under}</span>` : nothing}
            <span class="small quiet id">${thing.id}</span>
          </li>`,
      )}
    </ul>
    ${restButton(group, few.length, mine)}
  </section>`;
}

export function findView() {
  const mine = mineNow();
  const { ok, problems } = ruleBase();
  if (ok && (mine.of !== ok || mine.asked !== mine.query))
    Object.assign(mine, { of: ok, asked: mine.query, found: search(ok.things, mine.query) });
  const set = (change) => {
    Object.assign(mine, change, { most: MANY });
    changed();
  };
  const groups = (ok ? mine.found : []).filter(
    ({ kind, found }) => found.length && (mine.kind === "all" || mine.kind === kind),
  );
  return html`
    <form class="field" role="search" @submit=${(event) => event.preventDefault()}>
      <label for="find">Look in causes, facts, rules and checks</label>
      <input
        id="find"
        type="search"
        autocomplete="off"
        spellcheck="false"
        aria-describedby="find-help"
        .value=${mine.query}
        @input=${(event) => set({ query: event.target.value })}
      />
      <p id="find-help" class="small quiet">Every word must be there: a name, a question, an id.</p>
    </form>
    ${segments("Show", CHOICE, mine.kind, (kind) => set({ kind }))}
    ${
      !ok
        ? html`<p class="quiet">${problems?.[0]?.what ?? "Working it out"}</p>`
        : groups.length
          ? groups.map((group) => groupView(group, mine))
          : html`<p class="quiet">Nothing has all these words.</p>`
    }
    <p class="small quiet">
      Rules are for reading here. They are changed in their files; each thing says in which.
    </p>
  `;
}
