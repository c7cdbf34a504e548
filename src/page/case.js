// The case that is open: its log from this device, answers about it, and what is entered.
//
// state.open: {id, head, entries, refused: ids, version, answers, photos?}. `version` rises with
// every change; an answer that belongs to an older one is shown until the new one is there. `photos`
// is there where a report wants them.
import * as api from "./api.js";
import * as db from "./db.js";
import * as sync from "./sync.js";
import { answer } from "./ask.js";
import { caseDocument, inOrder } from "./entries.js";
import { photosFor } from "./photos.js";
import { changed, say, state, units } from "./state.js";

let stopFollowing = () => {};
let versions = 0;

async function readLocal(id) {
  const row = await db.localCase(id);
  if (!row) return false;
  await sync.showOutbox();
  const entries = inOrder(await db.entriesOf(id));
  const refused = state.sync.items
    .filter((item) => item.case === id && item.kind === "entry" && item.problems)
    .map((item) => item.body.id);
  const before = state.open?.id === id ? state.open : { answers: new Map() };
  state.open = { ...before, id, head: row.head, last: row.last, entries, refused, missing: false };
  state.open.version = ++versions;
  changed();
  return true;
}

async function fetchCase(id) {
  const { status, body } = await api.get(`cases/${id}`);
  if (status !== 200) return status;
  const { entries, perrev_case: _, ...head } = body.case;
  await db.mergeFromServer(id, { head, entries, last: body.last });
  return status;
}

export async function openCase(id) {
  if (state.open?.id === id) return;
  closeCase();
  state.open = { id, loading: true, head: {}, entries: [], refused: [], answers: new Map() };
  changed();
  if (!(await readLocal(id))) {
    const status = await fetchCase(id);
    if (state.open?.id !== id) return;
    if (status !== 200) {
      state.open.missing = status === 0 ? "offline" : "unknown";
      return changed();
    }
    await readLocal(id);
  }
  stopFollowing = sync.followCase(id, () => state.open?.last ?? 0);
}

export function closeCase() {
  stopFollowing();
  stopFollowing = () => {};
  state.open = null;
}

/** Another tab or device has changed a case. */
export async function caseChanged(id) {
  if (state.open?.id === id) await readLocal(id);
}

export function documentOf(open) {
  const entries = open.entries.filter((entry) => !open.refused.includes(entry.id));
  return caseDocument(open.head, entries);
}

/**
 * What the engine says of the open case: {ok}, {problems}, or {} while it is being worked out. Asks
 * once per version of the case; the former answer stays until then, `stale` without a network.
 */
export function answerOf(name, more = {}) {
  const { open } = state;
  const key = `${name} ${JSON.stringify(more)}`;
  const slot = open.answers.get(key) ?? {};
  if (!open.version || slot.version === open.version || slot.asked === open.version) return slot;
  slot.asked = open.version;
  open.answers.set(key, slot);
  const photos = more.photos && open.photos ? { photos: open.photos } : {};
  const document = { ...documentOf(open), ...photos };
  ask(slot, open.version, name, { case: document, units: units(), ...more });
  return slot;
}

async function ask(slot, version, name, request) {
  const got = await answer(name, request);
  if ((slot.version ?? 0) > version) return;
  if (got.offline) {
    slot.offline = true;
    if (slot.ok) slot.stale = true;
    else slot.problems = got.problems;
  } else {
    Object.assign(slot, {
      offline: false,
      stale: false,
      ok: got.ok,
      problems: got.problems,
      version,
    });
  }
  changed();
}

/** Photos into state.open.photos, as an exported file holds them; answers are asked anew. */
export async function bringPhotos() {
  const { open } = state;
  const photos = await photosFor(open.entries);
  if (state.open?.id !== open.id) return;
  state.open.photos = photos;
  state.open.version = ++versions;
  changed();
}

/** The network is back: what could not be asked is asked again when it is next shown. */
export function askAgain() {
  state.tries += 1;
  for (const slot of state.open?.answers.values() ?? []) if (slot.offline) slot.asked = 0;
  changed();
}

const person = () => (state.device.initials ? { who: state.device.initials } : {});

/** Adds to the log: bodies say by, and fact, check, repair, retracts or closes. */
export async function enter(...bodies) {
  const { id } = state.open;
  const added = await db.addEntries(
    id,
    bodies.map((body) => ({ ...body, ...person() })),
  );
  await readLocal(id);
  sync.added(id);
  if (bodies.some((body) => body.closes)) await db.dropOutlived();
  return added;
}

export async function retract(entryId, by) {
  await enter({ by, retracts: entryId });
  say("Taken back. It stays in the log.");
}

export async function rename(label) {
  const { id } = state.open;
  await db.changeHead(id, { label });
  await readLocal(id);
  sync.added(id);
}

export async function throwAway(item) {
  await db.throwAway(item.n);
  await caseChanged(item.case);
  await sync.showOutbox();
  sync.added(item.case);
}
