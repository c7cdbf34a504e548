// What the pages of the rule base are made of: links between things, conditions, weights.
import { html, nothing } from "../lit.js";
import { signed } from "../number.js";
import { toRules } from "../router.js";
import { state } from "../state.js";
import { ruleBase } from "./ask.js";
import { spaced } from "./strength.js";

export { saidStrength, spaced, strengthWords } from "./strength.js";

const byKind = { cause: "causes", fact: "facts", check: "checks" };

export function nameOf(kind, id) {
  if (kind === "rule") return ruleBase().ok?.rules.get(id)?.because ?? spaced(id);
  const one = state.catalogue[byKind[kind]].get(id);
  return one?.name ?? one?.ask ?? one?.what ?? spaced(id);
}

const hasPage = (kind, id) => kind === "rule" || state.catalogue[byKind[kind]].has(id);

export const thingLink = (kind, id, words = nameOf(kind, id)) =>
  hasPage(kind, id) ? html`<a href=${toRules({ kind, id }, state.route.case)}>${words}</a>` : words;

export const graphLink = (route, words) =>
  html`<a class="button" href=${toRules({ kind: "graph", ...route }, state.route.case)}
    >${words}</a
  >`;

const MOST = 12; // lines of a list before the rest of it is folded away
const FIRST = 8;

/** A list whose lines are all there, those of a long one behind a line that opens. */
function folded(items, className) {
  const few = items.length > MOST ? FIRST : items.length;
  const list = (part) =>
    html`<ul class=${className}>
      ${part.map((item) => html`<li>${item}</li>`)}
    </ul>`;
  if (few === items.length) return list(items);
  return html`${list(items.slice(0, few))}
    <details>
      <summary>${items.length - few} more</summary>
      ${list(items.slice(few))}
    </details>`;
}

/** A heading with a list under it; nothing where the list is empty. */
export const listed = (title, items, more = nothing) =>
  items.length
    ? html`<h2>${title}</h2>
        ${more} ${folded(items, "things")}`
    : nothing;

/** "a, b and 12 more" of links. */
export function named(items, most = 3) {
  const few = items.length > most + 1 ? items.slice(0, most) : items;
  const rest = items.length - few.length;
  return html`${few.map((item, i) => html`${i ? ", " : ""}${item}`)}${rest ? ` and ${rest} more` : ""}`;
}

/** Term and what it is, without what is empty. */
export const facts = (rows) => {
  const told = rows.filter(([, value]) => value !== null && value !== "" && value !== undefined);
  return html`<dl class="told-of">
    ${told.map(
      ([term, value]) =>
        html`<div>
          <dt>${term}</dt>
          <dd>${value}</dd>
        </div>`,
    )}
  </dl>`;
};

export const caution = (text) =>
  text ? html`<p class="caution"><strong>Caution.</strong> ${text}</p>` : nothing;

export const waiting = ({ problems }) =>
  html`<p class="quiet">${problems?.[0]?.what ?? "Working it out"}</p>`;

export const TRUTHS = { yes: "yes", no: "no", unknown: "not known" };

/** How a part reads: one word, or by place where places differ. */
function truthWords(truths, places) {
  if (truths.every((truth) => truth === truths[0])) return TRUTHS[truths[0]];
  return places.map((place, i) => `${spaced(place)} ${TRUTHS[truths[i]]}`).join(", ");
}

const trees = (parts) => {
  const root = { inside: [] };
  const above = [root];
  for (const part of parts) {
    const made = { ...part, inside: [] };
    above.length = part.depth + 1;
    above.at(-1).inside.push(made);
    above.push(made);
  }
  return root.inside;
};

const partView = (places) => (part) =>
  html`<li>
    ${
      part.truth
        ? html`<strong class="truth ${part.truth.every((t) => t === "yes") ? "holds" : ""}"
            >${truthWords(part.truth, places)}</strong
          >`
        : nothing
    }
    <span
      >${part.fact ? thingLink("fact", part.fact, part.words) : part.words}
      ${part.ids ? html`<span class="small quiet id">${part.ids}</span>` : nothing}</span
    >
    ${
      part.inside.length
        ? html`<ul>
            ${part.inside.map(partView(places))}
          </ul>`
        : nothing
    }
  </li>`;

/** A condition, part within part; in a case each part says how it reads. */
export const conditionView = (parts, places = []) =>
  html`<ul class="condition">
    ${trees(parts).map(partView(places))}
  </ul>`;

export const weighed = (decibans, ...words) =>
  html`<span class="weight">${decibans === null ? "rules out" : signed(decibans)}</span>
    <span>${words}</span>`;

export const weightList = (items) => folded(items, "evidence");

export const strengthsView = (strengths) =>
  html`<details>
    <summary>What the words of strength mean</summary>
    <table>
      <thead>
        <tr>
          <th scope="col">Word</th>
          <th scope="col">Odds</th>
          <th scope="col">Decibans</th>
        </tr>
      </thead>
      <tbody>
        ${strengths.map(
          (one) =>
            html`<tr>
              <th scope="row">${spaced(one.strength)}</th>
              <td>times ${one.odds_ratio}</td>
              <td>${signed(one.decibans)}</td>
            </tr>`,
        )}
      </tbody>
    </table>
    <p class="small quiet">Against: divided instead of times. +10 decibans are odds times ten.</p>
  </details>`;

/** A point of the path by its id: a check, a gate, an end, or the start. */
export function pointWords(id) {
  if (state.catalogue.checks.has(id)) return thingLink("check", id);
  const { ok } = ruleBase();
  if (ok?.gates.has(id)) return `Gate: ${ok.gates.get(id)}`;
  return ok?.ends.has(id) ? `End: ${ok.ends.get(id)}` : spaced(id);
}

/** Where it stands, and how it is changed. A rule base kept from an earlier time may have no lines. */
export const standsIn = ({ kind, id, place }) =>
  html`<p class="small quiet stands">
    The ${kind} <span class="id">${id}</span> stands in
    <code>${place.file}</code>${place.line ? `, line ${place.line}` : ""}. It is changed there; then
    <code>perrev rules check</code> and <code>perrev rules test</code> say whether all is well.
  </p>`;
