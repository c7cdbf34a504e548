// What the views of the rule base ask: the engine of this device, with the case where one is along;
// and drawings, which the shop's computer alone can lay out.
import * as api from "../api.js";
import { answer } from "../ask.js";
import { answerOf, documentOf } from "../case.js";
import { keep, kept } from "../db.js";
import { changed, state, units } from "../state.js";
import { indexOf, thingsOf } from "./search.js";

const slots = new Map();
const MOST_SLOTS = 40;
const MOST_KEPT = 12; // drawings, some hundred KB each

/** The case that the address names, once it is read. */
export const along = () =>
  state.route.case && state.open?.id === state.route.case && state.open.version ? state.open : null;

const FAILED = { problems: [{ what: "This could not be had. Load the page again to try again." }] };

/** A slot {ok}, {problems} or {}: asked once; again when what failed may be had now. */
function slotOf(key, ask) {
  const known = slots.get(key);
  const again = !known || (known.offline && known.tries !== state.tries);
  const slot = again ? { tries: state.tries } : known;
  slots.delete(key); // what was looked at last stands last
  slots.set(key, slot);
  if (slots.size > MOST_SLOTS) slots.delete(slots.keys().next().value);
  if (again)
    ask()
      .catch(() => FAILED)
      .then((got) => {
        Object.assign(slot, got);
        changed();
      });
  return slot;
}

const plainly = (name, more) =>
  slotOf(JSON.stringify([state.catalogue?.digest, units(), name, more]), () =>
    answer(name, { units: units(), ...more }),
  );

/** Everything that touches one thing. */
export function explained(kind, id) {
  const { ok, problems } = along()
    ? answerOf("explain", { name: id, kind })
    : plainly("explain", { name: id, kind });
  return { ok: ok?.explained[0], problems };
}

let index = null;

/** {ok: rules in short, index to search}. */
export function ruleBase() {
  const slot = plainly("rules", {});
  if (!slot.ok || !state.catalogue) return { problems: slot.problems };
  if (index?.of !== slot.ok || index.in !== state.catalogue)
    index = {
      of: slot.ok,
      in: state.catalogue,
      things: indexOf(thingsOf(state.catalogue, slot.ok.rules)),
      rules: new Map(slot.ok.rules.map((rule) => [rule.id, rule])),
      gates: new Map(slot.ok.gates.map((gate) => [gate.id, gate.what])),
      ends: new Map(slot.ok.ends.map((end) => [end.id, end.what])),
    };
  return { ok: index };
}

const keptDrawings = async () => (await kept("drawings").catch(() => null)) ?? [];

/** For a time without a network. A device that is full shows it all the same. */
async function keepDrawing(drawn) {
  const others = (await keptDrawings()).filter((one) => one.key !== drawn.key);
  await keep("drawings", [drawn, ...others].slice(0, MOST_KEPT)).catch(() => {});
}

async function askDrawing(key, request) {
  const { status, body } = await api.post("answers/drawing", request);
  if (status === 200) {
    keepDrawing({ key, ok: body });
    return { ok: body };
  }
  if (status !== 0) return { problems: body.problems ?? [{ what: "It could not be drawn." }] };
  const old = (await keptDrawings()).find((one) => one.key === key);
  const offline = { offline: true };
  return old ? { ...offline, ok: old.ok, old: true } : { ...offline, problems: [] };
}

/** The drawing of a route: {ok: {title, legend, shapes, lines, svg}}; `old` where it is one kept. */
export function drawing({ graph, around, name, near }) {
  const kase = along();
  const part = around ? { [around]: name, ...(graph === "path" ? { near } : {}) } : {};
  const request = { graph, ...part, units: units() };
  const key = JSON.stringify([state.catalogue?.digest, kase?.id, request]);
  return slotOf(`${key} ${kase?.version}`, () =>
    askDrawing(key, kase ? { ...request, case: documentOf(kase) } : request),
  );
}
