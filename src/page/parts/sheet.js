// All questions of one asker as a sheet: safety, complaint, vehicle. A line opens to its answers.
import { answerOf, enter } from "../case.js";
import { placeWords, valueWords } from "../catalogue.js";
import { current } from "../entries.js";
import { setKeys } from "../keys.js";
import { html, nothing } from "../lit.js";
import { changed, memory, state } from "../state.js";
import { questionView } from "./question.js";

const GROUPS = {
  safety: "Safety",
  complaint: "The complaint",
  vehicle: "The vehicle",
};

const groupOf = (fact) =>
  fact.stop ? "safety" : fact.lasts === "vehicle" ? "vehicle" : "complaint";

const isKnown = (fact, place) => Boolean(current(state.open.entries, fact.id, place, fact.lasts));

function line(by, fact, place, mine) {
  const key = `${fact.id} ${place ?? ""}`;
  const entry = current(state.open.entries, fact.id, place, fact.lasts);
  const open = mine.open === key;
  const toggle = () => {
    mine.open = open ? null : key;
    changed();
  };
  const q = {
    fact: fact.id,
    place,
    by,
    enter: async (body) => {
      mine.open = null;
      await enter(body);
    },
  };
  return html`<li>
    <button type="button" class="sheet-line" aria-expanded=${open} @click=${toggle}>
      <span>${fact.ask}${place ? ` — ${placeWords(place)}` : ""}</span>
      <span class="value">${entry ? valueWords(entry) : ""}</span>
    </button>
    ${open ? html`<div class="inset">${questionView(q, false)}</div>` : nothing}
  </li>`;
}

/** Facts that are open to be asked, and those that were answered, in the order of the rule base. */
function linesOf(by, openOnes) {
  const asked = new Map(openOnes.map((question) => [question.fact, question]));
  const out = [];
  for (const fact of state.catalogue.list) {
    if (!fact.asked_at.includes(by)) continue;
    const known = state.open.entries.some((entry) => entry.fact === fact.id);
    if (!asked.has(fact.id) && !known) continue;
    const places = fact.per === "case" || fact.kind === "text" ? [null] : fact.places;
    for (const place of places) out.push({ fact, place });
  }
  return out;
}

export function sheetView(by) {
  setKeys(null);
  const mine = memory(`sheet ${by}`, { open: null, group: "safety" });
  const { ok } = answerOf("questions", { by, skipped: [] });
  if (!ok) return html`<p class="quiet">Working it out</p>`;
  const lines = linesOf(by, ok.all);
  return Object.entries(GROUPS).map(([group, title]) => {
    const here = lines.filter(({ fact }) => groupOf(fact) === group);
    if (!here.length) return nothing;
    const known = here.filter(({ fact, place }) => isKnown(fact, place)).length;
    const toggle = (event) => {
      if (event.target.open === (mine.group === group)) return;
      mine.group = event.target.open ? group : null;
      changed();
    };
    return html`<details class="group" ?open=${mine.group === group} @toggle=${toggle}>
      <summary>
        ${title}<span class="small quiet">${known} of ${here.length} answered</span>
      </summary>
      <ul class="sheet">
        ${here.map(({ fact, place }) => line(by, fact, place, mine))}
      </ul>
    </details>`;
  });
}
