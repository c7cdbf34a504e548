// A value as it is typed, checked by the engine while it is typed.
import { documentOf } from "./case.js";
import { answer } from "./ask.js";
import { changed, state, units } from "./state.js";

/** Puts what `typed` means into `slot.reading`: {ok} or {problems}. */
export async function check(slot, fact, place, typed) {
  slot.typed = typed;
  slot.reading = null;
  changed();
  if (!typed.trim() || !state.open) return null;
  const tire = fact.id.endsWith("tire_size");
  const got = tire
    ? await answer("tire", { text: typed })
    : await answer("reading", {
        case: documentOf(state.open),
        fact: fact.id,
        place,
        typed,
        units: units(),
      });
  if (slot.typed !== typed) return null;
  slot.reading = got;
  changed();
  return got;
}

/** What is entered for it: the text itself, with the unit that the field shows. */
export function valueOf(slot, fact) {
  if (fact.kind === "text") return slot.typed.trim();
  const values = slot.reading?.ok?.values;
  if (values) return values.length === 1 ? values[0] : values;
  const typed = slot.typed.trim();
  return /^-?[\d.]+$/.test(typed) ? `${typed} ${fact.unit ?? ""}`.trim() : typed;
}
