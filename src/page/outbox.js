// What waits to be sent, in the order in which it was made. Pure: sync.js does the sending.
//
// An item: {n, case, kind: "case" | "head" | "photo" | "entry", body, problems?}. An item with
// problems was refused by the server; it waits for a person and holds up nothing behind it.

export const MOST_AT_ONCE = 50;

/** The next items to send in one request; entries of one case go together. */
export function nextBatch(items, most = MOST_AT_ONCE) {
  const ready = items.filter((item) => !item.problems);
  if (ready.length === 0) return [];
  const first = ready[0];
  if (first.kind !== "entry") return [first];
  const batch = [];
  for (const item of ready) {
    if (item.kind !== "entry" || item.case !== first.case || batch.length === most) break;
    batch.push(item);
  }
  return batch;
}

/**
 * What the server's answer means for a batch: "sent", "later" (network, load: try again),
 * "sign_in", "no_case" (the store does not know the case: send it whole), "alone" (one of several
 * is wrong: send one at a time), or "refused".
 */
export function meaning(batch, status) {
  if (status === 0 || status === 429 || status >= 500) return "later";
  if (status >= 200 && status < 300) return "sent";
  if (status === 401) return "sign_in";
  if (status === 404 && batch[0].kind !== "case") return "no_case";
  return batch.length > 1 ? "alone" : "refused";
}

/** Milliseconds until the next try. */
export const pause = (failures) => Math.min(30000, 1000 * 2 ** Math.min(failures, 5));

const many = (n, one, more) => (n === 1 ? `1 ${one}` : `${n} ${more}`);

/** The state of saving, in words. */
export function words({ waiting, refused, online, signIn }) {
  const out = [];
  if (refused > 0) out.push(`${many(refused, "entry was", "entries were")} refused`);
  if (signIn && waiting === 0) out.push("This device is not signed in");
  else if (signIn) out.push(`${many(waiting, "entry waits", "entries wait")} for you to sign in`);
  else if (waiting > 0 && !online)
    out.push(`${many(waiting, "entry waits", "entries wait")} for the network`);
  else if (waiting > 0) out.push(`Saving ${many(waiting, "entry", "entries")}`);
  else if (!online) out.push("All sent. No network now");
  else if (refused === 0) out.push("All saved");
  return out.join(". ");
}
