// The log of a case as plain values: order, merging, what is retracted, what is known. Pure.

/** Earlier first; whole-number ids compare as numbers and come first, as the engine orders them. */
export function compareEntries(a, b) {
  const time = Date.parse(a.at) - Date.parse(b.at);
  if (time !== 0) return time;
  const [x, y] = [a.id, b.id].map((id) => (/^\d+$/.test(id) ? Number(id) : null));
  if (x !== null && y !== null) return x - y;
  if (x !== null || y !== null) return x !== null ? -1 : 1;
  return a.id < b.id ? -1 : a.id > b.id ? 1 : 0;
}

export const inOrder = (entries) => [...entries].sort(compareEntries);

export function newestAt(entries) {
  let newest = "";
  for (const { at } of entries) if (!newest || Date.parse(at) > Date.parse(newest)) newest = at;
  return newest;
}

/** The same content, whatever the order of keys. */
export function sameEntry(a, b) {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || !a || !b) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const keys = Object.keys(a);
  return keys.length === Object.keys(b).length && keys.every((key) => sameEntry(a[key], b[key]));
}

/**
 * Two logs become one by id. What came from the server wins where the content differs, since it is
 * what everybody else sees; those ids are told in `differ`.
 */
export function mergeEntries(local, incoming) {
  const all = new Map(local.map((entry) => [entry.id, entry]));
  const added = [];
  const differ = [];
  for (const entry of incoming) {
    const mine = all.get(entry.id);
    if (mine && sameEntry(mine, entry)) continue;
    if (mine) differ.push(entry.id);
    else added.push(entry.id);
    all.set(entry.id, entry);
  }
  return { entries: inOrder(all.values()), added, differ };
}

/** Ids that are taken back. A retraction can itself be retracted. */
export function retractedIds(entries) {
  const by = new Map();
  for (const entry of entries)
    if (entry.retracts) by.set(entry.retracts, [...(by.get(entry.retracts) ?? []), entry]);
  const known = new Map();
  const isRetracted = (id) => {
    if (!known.has(id)) {
      known.set(id, false);
      known.set(
        id,
        (by.get(id) ?? []).some((entry) => !isRetracted(entry.id)),
      );
    }
    return known.get(id);
  };
  return new Set(entries.filter((entry) => isRetracted(entry.id)).map((entry) => entry.id));
}

/** Unretracted entries, in order. */
export function standing(entries) {
  const gone = retractedIds(entries);
  return inOrder(entries.filter((entry) => !gone.has(entry.id) && !entry.retracts));
}

/** What stands after the last repair that was done. */
export function thisRound(entries) {
  const all = standing(entries);
  const last = all.findLastIndex((entry) => entry.repair && entry.result === "done");
  return all.slice(last + 1);
}

const RANK = { write_up: 0, road: 1, bay: 2 };

/** The entry that counts for a fact: bay over road over write-up, then the latest. */
export function current(entries, fact, place = null, lasts = "round") {
  const pool = lasts === "vehicle" ? standing(entries) : thisRound(entries);
  let best = null;
  for (const entry of pool) {
    if (entry.fact !== fact) continue;
    if (place && entry.place && entry.place !== place && entry.place !== "all") continue;
    if (!best || RANK[entry.by] >= RANK[best.by]) best = entry;
  }
  return best;
}

/** A new yes to a question of several answers; the former ones stay. */
export function valueWith(more, before) {
  const old = before && before.answer !== "unsure" ? [before.value].flat() : [];
  return [...new Set([...old, ...[more].flat()].map(String))];
}

export const isClosed = (entries) => standing(entries).some((entry) => entry.closes);

/** The document that the engine reads. */
export function caseDocument(head, entries) {
  return { perrev_case: 1, ...head, entries: inOrder(entries) };
}
