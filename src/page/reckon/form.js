// One reckoning: its form, and what the engine makes of it while it is typed.
import { answer } from "../ask.js";
import { documentOf } from "../case.js";
import { factOf, placeWords } from "../catalogue.js";
import { html, nothing } from "../lit.js";
import { frameWidth } from "../parts/frame_width.js";
import { segments } from "../parts/segments.js";
import { changed, state, units } from "../state.js";
import { keyIn } from "./cells.js";
import { bringBack, draftFor, empty, moveTo, usualUnits } from "./draft.js";
import { addRow, fieldView } from "./fields.js";
import { foundView } from "./found.js";
import { givenOf, isBlank, isUsual, sorted, unitsGiven } from "./given.js";
import { inCaseView, keepView } from "./kept.js";

const PAUSE = 250; // ms after a key, until the engine is asked

/** Where it may have been measured: places of the fact that a choice names, else all of the form. */
function placesOf(form, draft) {
  for (const { id, choices = [], usual } of form.fields) {
    const chosen = choices.find((one) => one.id === (draft.choices[id] ?? usual));
    const fact = chosen?.fact && factOf(chosen.fact);
    if (fact) return fact.per === "case" ? [] : fact.places;
  }
  return form.places;
}

/** Asks once for what stands in the form now; the former answer stays until then. */
function ask(form, draft, given) {
  const more = {
    width: frameWidth(),
    ...(placesOf(form, draft).includes(draft.place) ? { place: draft.place } : {}),
    ...(draft.class ? { class: draft.class } : {}),
  };
  const request = { tool: form.id, given, units: unitsGiven(form, given, units()), ...more };
  const { id, version } = state.open;
  const wanted = JSON.stringify([request, version, draft.got?.offline ? state.tries : 0]);
  if (draft.wanted === wanted) return;
  draft.wanted = wanted;
  clearTimeout(draft.timer);
  if (isBlank(form, given)) {
    draft.got = null;
    return;
  }
  draft.timer = setTimeout(async () => {
    if (state.open?.id !== id) return;
    const got = await answer("bay", { ...request, case: documentOf(state.open) });
    if (draft.wanted !== wanted) return;
    Object.assign(draft, { got, got_for: wanted, given });
    changed();
  }, PAUSE);
}

function placeView(form, draft) {
  const places = placesOf(form, draft);
  if (!places.length) return nothing;
  const options = Object.fromEntries(places.map((place) => [place, placeWords(place)]));
  return segments("Where", options, draft.place, (place) => moveTo(place, form, draft));
}

function answerView(form, draft, found, at, put) {
  const { got } = draft;
  if (!got) return html`<p class="quiet">Working it out</p>`;
  if (got.offline) return html`<p class="quiet">${got.problems[0].what}</p>`;
  if (!got.ok)
    return html`${
      found.needed.length
        ? html`<p class="quiet">Still needed: ${found.needed.join(", ")}.</p>`
        : nothing
    }
    ${found.others.map((words) => html`<p class="problem">${words}</p>`)}`;
  const choose = (id) => {
    draft.class = id;
    changed();
  };
  return html`${foundView(got.ok, draft, `${at} ${form.id}`, choose)}
  ${keepView(got.ok, form, draft, put)}`;
}

function emptyView(form, draft, given) {
  if (!isBlank(form, given))
    return html`<button type="button" class="plain" @click=${() => empty(draft)}>
      Empty the form
    </button>`;
  return draft.emptied
    ? html`<button type="button" class="plain" @click=${() => bringBack(draft)}>
        Bring back what was typed
      </button>`
    : nothing;
}

/** Fields that few need to touch, folded away with what counts for them. */
function usualView(form, draft, given, found, shown) {
  const fields = form.fields.filter(isUsual);
  if (!fields.length) return nothing;
  const words = fields.map(
    ({ id, label, usual }) => `${label.toLowerCase()} ${given[id] ?? usual}`,
  );
  const wrong = fields.some(({ id }) => found?.fields[id]);
  const toggle = (event) => {
    draft.unfolded = event.target.open;
  };
  return html`<details class="usual" ?open=${draft.unfolded || wrong} @toggle=${toggle}>
    <summary>Taken as usual: ${words.join(", ")}</summary>
    ${fields.map(shown)}
  </details>`;
}

/** As the check around the form has it: the place that is looked at, the part that is measured. */
function setUp(form, draft, { place, facts = [] }) {
  if (!draft.place && form.places.includes(place)) draft.place = place;
  for (const field of form.fields) {
    const fits = field.choices?.find((one) => facts.includes(one.fact));
    if (fits) draft.choices[field.id] ??= fits.id;
  }
}

/** `at` tells places on the screen apart; `put` enters. */
export function formView(form, { at, put, ...around }) {
  const draft = draftFor(form, at);
  setUp(form, draft, around);
  const given = givenOf(form, draft, usualUnits());
  ask(form, draft, given);
  const stale = draft.got && draft.got_for !== draft.wanted;
  const found = draft.got?.problems ? sorted(form, draft.given, draft.got.problems) : null;
  const rowFor = (id) => addRow({ draft, field: form.fields.find((field) => field.id === id) });
  const shown = (field) =>
    fieldView({
      field,
      draft,
      id: `${at}-${form.id}-${field.id}`,
      problems: found?.fields[field.id] ?? [],
    });
  return html`<div class="reckoning" @keydown=${(event) => keyIn(event, rowFor)}>
    <p>${form.what}</p>
    ${placeView(form, draft)} ${form.fields.filter((field) => !isUsual(field)).map(shown)}
    ${usualView(form, draft, given, found, shown)}
    <div class=${stale ? "reckoned stale" : "reckoned"}>
      ${isBlank(form, given) ? nothing : answerView(form, draft, found, at, put)}
    </div>
    ${emptyView(form, draft, given)} ${inCaseView(form, draft)}
  </div>`;
}
