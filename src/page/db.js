// Everything this device knows, in IndexedDB. The page reads here first and always.
//
// cases    {id, head, last}       last: the server's number of the newest addition we have
// entries  {case, id, entry}
// outbox   {n, case, kind, body, problems?}   see outbox.js
// photos   {sha, case, blob}
// kept     key and value: who I am, the counter of entries, the rule base in words
import { openDB } from "./lib/idb.js";
import { entryId, momentAfter, randomWord } from "./ids.js";
import { isClosed, mergeEntries, newestAt, sameEntry } from "./entries.js";
import { caseOfKept, outlived } from "./outlived.js";

const opened = openDB("perrev", 1, {
  upgrade(db) {
    db.createObjectStore("cases", { keyPath: "id" });
    db.createObjectStore("entries", { keyPath: ["case", "id"] }).createIndex("case", "case");
    db.createObjectStore("outbox", { keyPath: "n", autoIncrement: true });
    db.createObjectStore("photos", { keyPath: "sha" });
    db.createObjectStore("kept");
  },
});

export const kept = async (key) => (await opened).get("kept", key);
export const keep = async (key, value) => (await opened).put("kept", value, key);

/** Drops what was kept beside cases that are over, and drafts that nobody came back to. */
export async function dropOutlived() {
  const tx = (await opened).transaction(["kept", "cases", "entries"], "readwrite");
  const [store, cases, entries] = ["kept", "cases", "entries"].map((s) => tx.objectStore(s));
  const keys = await store.getAllKeys();
  const values = await store.getAll();
  const over = new Set();
  for (const id of new Set(keys.map(caseOfKept)))
    if (id && (!(await cases.get(id)) || isClosed((await rowsOf(entries, id)).map((row) => row.entry))))
      over.add(id);
  const rows = keys.map((key, i) => [key, values[i]]);
  for (const key of outlived(rows, (id) => over.has(id), Date.now())) await store.delete(key);
  await tx.done;
}

export const localCases = async () => (await opened).getAll("cases");
export const localCase = async (id) => (await opened).get("cases", id);
export const outbox = async () => (await opened).getAll("outbox");
export const photo = async (sha) => (await opened).get("photos", sha);

const rowsOf = (store, id) => store.index("case").getAll(id);

export async function entriesOf(id) {
  const rows = await rowsOf((await opened).transaction("entries").store, id);
  return rows.map((row) => row.entry);
}

export async function addCase(id, head) {
  const tx = (await opened).transaction(["cases", "outbox"], "readwrite");
  await tx.objectStore("cases").put({ id, head, last: 0 });
  await tx.objectStore("outbox").add({ case: id, kind: "case", body: head });
  await tx.done;
}

export async function changeHead(id, change) {
  const tx = (await opened).transaction(["cases", "outbox"], "readwrite");
  const row = await tx.objectStore("cases").get(id);
  await tx.objectStore("cases").put({ ...row, head: { ...row.head, ...change } });
  await tx.objectStore("outbox").add({ case: id, kind: "head", body: change });
  await tx.done;
}

/** Adds entries (without id and at) to a case and to the outbox, all or none; returns them. */
export async function addEntries(id, bodies) {
  const tx = (await opened).transaction(["entries", "outbox", "kept"], "readwrite");
  const [entries, box, keptStore] = ["entries", "outbox", "kept"].map((s) => tx.objectStore(s));
  const device = (await keptStore.get("device")) ?? randomWord(6);
  let count = (await keptStore.get("count")) ?? 0;
  let newest = newestAt((await rowsOf(entries, id)).map((row) => row.entry));
  const out = [];
  for (const body of bodies) {
    newest = momentAfter(newest);
    const entry = { id: entryId(device, ++count), at: newest, ...body };
    await entries.put({ case: id, id: entry.id, entry });
    await box.add({ case: id, kind: "entry", body: entry });
    out.push(entry);
  }
  await keptStore.put(device, "device");
  await keptStore.put(count, "count");
  await tx.done;
  return out;
}

/** Entries that exist already, from a file: they keep their ids and moments. */
export async function addOldEntries(id, old) {
  const tx = (await opened).transaction(["entries", "outbox"], "readwrite");
  for (const entry of old) {
    await tx.objectStore("entries").put({ case: id, id: entry.id, entry });
    await tx.objectStore("outbox").add({ case: id, kind: "entry", body: entry });
  }
  await tx.done;
}

export async function addPhoto(id, sha, blob) {
  const tx = (await opened).transaction(["photos", "outbox"], "readwrite");
  await tx.objectStore("photos").put({ sha, case: id, blob });
  await tx.objectStore("outbox").add({ case: id, kind: "photo", body: sha });
  await tx.done;
}

/**
 * What the server has of a case. Returns whether anything was new; an entry that stands here with
 * other content gives way to what everybody sees.
 */
export async function mergeFromServer(id, { head, entries = [], last }) {
  const tx = (await opened).transaction(["cases", "entries", "outbox"], "readwrite");
  const cases = tx.objectStore("cases");
  const row = (await cases.get(id)) ?? { id, head: {}, last: 0 };
  const mine = (await tx.objectStore("outbox").getAll()).some(
    (item) => item.case === id && item.kind === "head" && !item.problems,
  );
  let changed = row.last === 0;
  if (head && !mine && !sameEntry(head, row.head)) {
    row.head = head;
    changed = true;
  }
  const store = tx.objectStore("entries");
  const there = await Promise.all(entries.map((entry) => store.get([id, entry.id])));
  const mineOf = there.flatMap((kept) => (kept ? [kept.entry] : []));
  const { added, differ } = mergeEntries(mineOf, entries);
  const news = new Set([...added, ...differ]);
  for (const entry of entries)
    if (news.has(entry.id)) await store.put({ case: id, id: entry.id, entry });
  if (news.size) changed = true;
  row.last = Math.max(row.last, last ?? 0);
  await cases.put(row);
  await tx.done;
  return changed;
}

export async function dropFromOutbox(numbers) {
  const tx = (await opened).transaction("outbox", "readwrite");
  for (const n of numbers) await tx.store.delete(n);
  await tx.done;
}

export async function markRefused(n, problems) {
  const tx = (await opened).transaction("outbox", "readwrite");
  const item = await tx.store.get(n);
  if (item) await tx.store.put({ ...item, problems });
  await tx.done;
}

/** A refused entry that its author does not want any more. */
export async function throwAway(n) {
  const tx = (await opened).transaction(["outbox", "entries"], "readwrite");
  const item = await tx.objectStore("outbox").get(n);
  if (item?.kind === "entry") await tx.objectStore("entries").delete([item.case, item.body.id]);
  await tx.objectStore("outbox").delete(n);
  await tx.done;
}
