// Sends the outbox in order and listens to what others enter. Ids make it harmless to send twice,
// so a tab that dies, a cut connection or a second tab lose and double nothing.
import * as api from "./api.js";
import * as db from "./db.js";
import { meaning, nextBatch, pause } from "./outbox.js";
import { changed, state } from "./state.js";

let running = false;
let again = false;
let failures = 0;
let timer = 0;
let alone = 0; // so many items go one at a time, since one of them is wrong
let tell = () => {}; // (case id) -> something of that case has changed
let back = () => {}; // the server can be asked again
let rules = () => {}; // another rule base is in use, or one was refused

function setOnline(online) {
  const was = state.sync.online;
  state.sync.online = online;
  if (online && !was) back();
  changed();
}

const tabs = new BroadcastChannel("perrev");

export async function showOutbox() {
  const items = await db.outbox();
  state.sync.items = items;
  state.sync.refused = items.filter((item) => item.problems).length;
  state.sync.waiting = items.length - state.sync.refused;
  changed();
}

async function sendBatch(batch) {
  const [first] = batch;
  const path = `cases/${first.case}`;
  if (first.kind === "case") return api.put(path, first.body);
  if (first.kind === "head") return api.patch(path, first.body);
  if (first.kind === "entry")
    return api.post(`${path}/entries`, { entries: batch.map((item) => item.body) });
  const photo = await db.photo(first.body);
  return photo ? api.postPhoto(`${path}/photos`, photo.blob) : { status: 200, body: {} };
}

/** A store that does not know the case gets it whole. */
async function sendWhole(id) {
  const row = await db.localCase(id);
  const made = await api.put(`cases/${id}`, row?.head ?? {});
  if (made.status === 0 || made.status >= 400) return false;
  const waiting = new Set(state.sync.items.map((item) => item.body?.id));
  const entries = (await db.entriesOf(id)).filter((entry) => !waiting.has(entry.id));
  const sent = entries.length ? await api.post(`cases/${id}/entries`, { entries }) : made;
  return sent.status >= 200 && sent.status < 300;
}

/** One request. Returns whether to go on at once. */
async function step() {
  const batch = nextBatch(state.sync.items, alone > 0 ? 1 : undefined);
  if (batch.length === 0) return false;
  const { status, body } = await sendBatch(batch);
  const means = meaning(batch, status);
  setOnline(status !== 0);
  state.sync.signIn = means === "sign_in";
  if (means === "sent") {
    await db.dropFromOutbox(batch.map((item) => item.n));
    tabs.postMessage({});
    if (alone > 0) alone -= 1;
    failures = 0;
  } else if (means === "alone") {
    alone = batch.length;
  } else if (means === "refused") {
    await db.markRefused(batch[0].n, body.problems ?? [{ what: `Refused with ${status}` }]);
    if (alone > 0) alone -= 1;
    tell(batch[0].case);
  } else if (means === "no_case" && (await sendWhole(batch[0].case))) {
    failures = 0;
  } else {
    failures += 1;
    return false;
  }
  return true;
}

/** Sends what waits; called whenever something was added or the network may be back. */
export async function kick() {
  if (running) {
    again = true;
    return;
  }
  running = true;
  clearTimeout(timer);
  try {
    do {
      again = false;
      await showOutbox();
      while (await step()) await showOutbox();
    } while (again);
    await showOutbox();
  } finally {
    running = false;
  }
  if (state.sync.waiting > 0) timer = setTimeout(kick, pause(failures));
}

/** To be called after every change that this tab made. */
export function added(id) {
  tabs.postMessage({ case: id });
  kick();
}

/**
 * Follows one stream of events until closed. A browser tries again by itself after a cut, but not
 * after an answer other than 200 (WHATWG HTML, server-sent events); then we do, soon at first: a
 * case that was just begun may be asked for before the server has it.
 */
function follow(path, events) {
  let source = null;
  let wait = 0;
  let tries = 0;
  const open = () => {
    source = new EventSource(`/api/${path()}`, { withCredentials: false });
    source.onopen = () => {
      tries = 0;
      setOnline(true);
      if (state.sync.waiting > 0) kick();
    };
    source.onerror = () => {
      if (source.readyState === EventSource.CLOSED)
        wait = setTimeout(open, Math.min(5000, 200 * 2 ** tries++));
    };
    for (const [name, heard] of Object.entries(events))
      source.addEventListener(name, (event) => heard(JSON.parse(event.data)));
  };
  open();
  return () => {
    clearTimeout(wait);
    source.close();
  };
}

/** Follows what others enter into a case, from `last()` on. */
export function followCase(id, last) {
  const merge = async (what) => {
    if (await db.mergeFromServer(id, what)) tell(id);
  };
  return follow(() => `cases/${id}/events?after=${last()}`, {
    entry: (data) => merge({ entries: [data.entry], last: data.seq }),
    head: (data) => merge({ head: data.head, last: data.seq }),
    rules: (data) => rules(data),
  });
}

export const followAll = (after, heard) =>
  follow(() => `events?after=${after()}`, { case: heard, rules: (data) => rules(data) });

/** The door of a server in the shop's network has opened. */
export function signedIn() {
  state.sync.signIn = false;
  back();
  kick();
}

/**
 * `onCase(id)`: another device or tab has changed a case. `onBack()`: the server can be asked again.
 * `onRules({rules_digest, rules_problems})`: which rule base the server works with, at first and
 * whenever somebody has saved one.
 */
export function start(onCase, onBack, onRules) {
  tell = onCase;
  back = onBack;
  rules = onRules;
  tabs.onmessage = ({ data }) => {
    if (data.case) onCase(data.case);
    showOutbox();
  };
  addEventListener("online", kick);
  addEventListener("offline", () => setOnline(false));
  document.addEventListener("visibilitychange", () => document.hidden || kick());
  kick();
}
