// The engine as the page asks it: loaded once; a failure of the network is told apart from a problem.
import { get } from "./api.js";
import { keep, kept } from "./db.js";
import * as engine from "./engine.js";

/** {ok}, or {problems}; `offline` where nothing could be asked at all. */
export async function answer(name, request) {
  const got = await engine.answer(name, request);
  // engine.js says so when neither a loaded engine nor the server has answered.
  if (!got.problems?.[0]?.what.startsWith("no answer:")) return got;
  return {
    problems: [{ what: "Without the network this cannot be worked out here." }],
    offline: true,
  };
}

export const { reads, recording } = engine;

/** What the program says of itself; the last word of it where there is no network. */
export async function about() {
  const { status, body } = await get("about");
  if (status !== 200) return (await kept("about")) ?? null;
  await keep("about", body);
  return body;
}

/**
 * The rules for a start without a network. At the first visit the service worker, which keeps them
 * later (sw.js), comes too late to see them loaded.
 */
async function keepRules(url) {
  const cache = await globalThis.caches?.open("rules");
  if (cache && !(await cache.match(url))) await cache.add(url);
}

/** Loads the engine with the rules that `about` names. True once it answers in this page. */
export async function loadEngine(known) {
  if (!known?.rules_digest) return false;
  const rulesUrl = `/api/rules/${known.rules_digest}`;
  const loaded = await engine.load({ rulesUrl });
  if (loaded) keepRules(rulesUrl).catch(() => {});
  return loaded;
}
