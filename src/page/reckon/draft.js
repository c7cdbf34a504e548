// What is typed into a reckoning of the open case: in memory, and on the device so that a reload
// does not lose a wheel full of readings. Each check and each wheel has readings of its own.
import { keep, kept } from "../db.js";
import { changed, memory, state } from "../state.js";
import { isUsual } from "./given.js";

const EMPTY = () => ({ texts: {}, rows: {}, units: {}, choices: {} });
const PARTS = ["texts", "rows", "units", "choices", "place", "sheets"];

/**
 * `at` is where the form stands. {texts, rows, units, choices, place; sheets: by place what was typed
 * there; class: row of the limit}, and what form.js keeps of the answer.
 */
export function draftFor(form, at) {
  const key = `reckoning ${state.open.id} ${at} ${form.id}`;
  const draft = memory(key, { ...EMPTY(), key, place: "", sheets: {}, read: false });
  if (!draft.read) {
    draft.read = true;
    kept(key).then((before) => {
      // What was typed meanwhile counts.
      if (before && !draft.touched) Object.assign(draft, before);
      changed();
    });
  }
  return draft;
}

/** To be called after every change of a draft. */
export function touched(draft) {
  draft.touched = true;
  clearTimeout(draft.saving);
  draft.saving = setTimeout(() => {
    const parts = Object.fromEntries(PARTS.map((part) => [part, draft[part]]));
    keep(draft.key, { ...parts, saved: Date.now() }).catch(() => {});
  }, 300);
  changed();
}

/** Empties the form; units stay, since the gauge is the same. */
export function empty(draft) {
  const { texts, rows, choices } = draft;
  draft.emptied = { texts, rows, choices };
  Object.assign(draft, EMPTY(), { units: draft.units });
  touched(draft);
}

export function bringBack(draft) {
  Object.assign(draft, draft.emptied);
  draft.emptied = null;
  touched(draft);
}

/** To the readings of another place; what was typed before there was one goes along. */
export function moveTo(place, form, draft) {
  const { texts, rows, choices } = draft;
  if (draft.place) {
    const usual = form.fields.filter((field) => isUsual(field) && texts[field.id]);
    const blank = { texts: Object.fromEntries(usual.map(({ id }) => [id, texts[id]])), rows: {} };
    draft.sheets[draft.place] = { texts, rows, choices };
    Object.assign(draft, { ...blank, choices: { ...choices } }, draft.sheets[place]);
  }
  draft.place = place;
  draft.emptied = null;
  touched(draft);
}

const GAUGES = "gauge units";

/** Units that were chosen last on this device, by dimension. */
export function usualUnits() {
  const usual = memory(GAUGES);
  if (!usual.read) {
    usual.read = true;
    kept(GAUGES).then((before) => {
      Object.assign(usual, { ...before, ...usual });
      changed();
    });
  }
  return usual;
}

export function setUsual(name, unit) {
  const usual = usualUnits();
  usual[name] = unit;
  keep(GAUGES, { ...usual }).catch(() => {});
}
