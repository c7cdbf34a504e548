// The list of cases: the server's where it answers, else what this device has.
import * as api from "./api.js";
import * as db from "./db.js";
import * as sync from "./sync.js";
import { mergeLines } from "./case_lines.js";
import { isClosed, newestAt } from "./entries.js";
import { isCaseId, newCaseId } from "./ids.js";
import { changed, state } from "./state.js";

let stop = null;
let soon = 0;

async function localLines() {
  const rows = await db.localCases();
  return Promise.all(
    rows.map(async ({ id, head }) => {
      const entries = await db.entriesOf(id);
      const words = entries.find((entry) => entry.fact === "complaint_words")?.value ?? "";
      const line = { id, label: head.label ?? "", words, last_at: newestAt(entries) };
      return { ...line, entries: entries.length, closed: isClosed(entries), earlier: head.earlier };
    }),
  );
}

export async function refreshCases() {
  const { search } = state.cases;
  const local = await localLines();
  state.cases.local = local.map((line) => line.id);
  state.cases.lines = mergeLines([], local, search);
  changed();
  const query = new URLSearchParams({ search, limit: "100" });
  const { status, body } = await api.get(`cases?${query}`);
  if (search !== state.cases.search) return;
  state.sync.online = status !== 0;
  if (status === 401) state.sync.signIn = true;
  if (status === 200) {
    state.sync.signIn = false;
    state.cases.lines = mergeLines(body.cases, local, search);
  }
  changed();
}

export function watchCases() {
  refreshCases();
  const newest = () => Math.max(0, ...state.cases.lines.map((line) => line.last_seq ?? 0));
  stop ??= sync.followAll(newest, () => {
    clearTimeout(soon);
    soon = setTimeout(refreshCases, 300);
  });
}

export function leaveCases() {
  stop?.();
  stop = null;
}

export async function newCase(label, earlier) {
  const id = newCaseId();
  await db.addCase(id, { label, ...(earlier ? { earlier } : {}) });
  sync.added(id);
  return id;
}

/** A case from a file becomes a case of its own here; its photos come along. */
export async function importCase(text) {
  const file = JSON.parse(text);
  if (file.perrev_case !== 1 || !Array.isArray(file.entries)) throw new Error("not a case file");
  const { entries, photos = {}, id: named, perrev_case: _, ...head } = file;
  const id = typeof named === "string" && isCaseId(named) ? named : newCaseId();
  await db.addCase(id, head);
  for (const [sha, { type, data }] of Object.entries(photos)) {
    const bytes = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
    await db.addPhoto(id, sha, new Blob([bytes], { type }));
  }
  await db.addOldEntries(id, entries);
  sync.added(id);
  return id;
}
