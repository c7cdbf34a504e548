// The rule base in words: what can be asked, done and found. Kept on the device for offline starts.
import { answer } from "./ask.js";
import { keep, kept } from "./db.js";
import { changed, state, units } from "./state.js";

const byId = (list) => new Map(list.map((item) => [item.id, item]));

function indexed(raw) {
  return {
    digest: raw.rules_digest,
    list: raw.facts,
    facts: byId(raw.facts),
    causes: byId(raw.causes),
    checks: byId(raw.checks),
    repairs: byId(raw.repairs),
    families: byId(raw.families),
  };
}

export async function loadCatalogue() {
  const now = units();
  const key = `catalogue ${now}`;
  const before = await kept(key);
  if (before) state.catalogue = indexed(before);
  changed();
  const { ok } = await answer("catalogue", { units: now });
  if (!ok) return;
  await keep(key, ok);
  if (units() === now) state.catalogue = indexed(ok);
  changed();
}

export const factOf = (id) => state.catalogue?.facts.get(id);

const YES_NO = [
  { id: "yes", label: "Yes" },
  { id: "no", label: "No" },
];

export const answersOf = (fact) => (fact.kind === "yesno" ? YES_NO : fact.answers);

const PLACES = {
  left_front: "left front",
  right_front: "right front",
  left_rear: "left rear",
  right_rear: "right rear",
  front_axle: "front axle",
  rear_axle: "rear axle",
  front: "front",
  rear: "rear",
  front_shaft: "front shaft",
  rear_shaft: "rear shaft",
  all: "all",
};

export const placeWords = (place) => PLACES[place] ?? String(place).replaceAll("_", " ");
export const BY = { write_up: "write-up", road: "road test", bay: "bay" };
export const STATES = {
  confirmed: "confirmed",
  likely: "likely",
  open: "possible",
  excluded: "ruled out",
};

const labelOf = (fact, id) => answersOf(fact).find((one) => one.id === id)?.label ?? id;

/** The value of an entry, in words. */
export function valueWords(entry) {
  if (entry.answer === "unsure") return "unsure";
  const fact = factOf(entry.fact);
  const values = [entry.value].flat().map(String);
  if (values.length === 0) return "none of them";
  return values.map((value) => (fact ? labelOf(fact, value) : value)).join(", ");
}

/** An entry in one line. */
export function entryWords(entry) {
  const { checks, repairs, causes } = state.catalogue ?? {};
  if (entry.fact) return { what: factOf(entry.fact)?.ask ?? entry.fact, value: valueWords(entry) };
  if (entry.check)
    return { what: checks?.get(entry.check)?.what ?? entry.check, value: "not possible here" };
  if (entry.repair)
    return {
      what: `Repair: ${repairs?.get(entry.repair)?.what ?? entry.repair}`,
      value: entry.result === "done" ? "done" : "not done",
    };
  if (entry.closes) {
    const names = entry.closes.map((id) => causes?.get(id)?.name ?? id);
    return {
      what: `Case closed: ${names.join(", ") || "no fault found"}`,
      value: entry.proof ?? "",
    };
  }
  return { what: "Took an entry back", value: "" };
}
