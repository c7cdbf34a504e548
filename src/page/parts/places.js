// A fact that is read at several places: a grid of them with what is known, then one question.
import { answerOf } from "../case.js";
import { factOf, placeWords, valueWords } from "../catalogue.js";
import { current } from "../entries.js";
import { html, nothing } from "../lit.js";
import { short } from "../number.js";
import { changed, memory, state } from "../state.js";
import { questionView } from "./question.js";

const known = (fact, place) => current(state.open.entries, fact.id, place, fact.lasts);

function findingOf(fact, place, entry) {
  if (!fact.limit || !entry?.value) return "";
  const typed = [entry.value].flat().join(", ");
  const { ok } = answerOf("reading", { fact: fact.id, place, typed });
  return ok?.finding ? `, ${ok.finding}` : "";
}

function placeButton(fact, place, mine) {
  const entry = known(fact, place);
  const chosen = mine.place === place;
  const choose = () => {
    mine.place = place;
    changed();
  };
  return html`<button type="button" class="choice place" aria-pressed=${chosen} @click=${choose}>
    <span class="place-name">${placeWords(place)}</span>
    <span class="value"
      >${entry ? short(valueWords(entry)) + findingOf(fact, place, entry) : "not yet"}</span
    >
  </button>`;
}

/** q as in question.js, without a place. */
export function factView(q) {
  const fact = factOf(q.fact);
  if (!fact) return nothing;
  if (fact.per === "case" || fact.kind === "text") return single(q, fact);
  const mine = memory(`places ${state.open.id} ${fact.id}`, { place: null });
  mine.place ??= fact.places.find((place) => !known(fact, place)) ?? fact.places[0];
  const enter = async (body) => {
    const after = fact.places.filter((place) => place !== mine.place && !known(fact, place));
    const at = body.place;
    await q.enter(body);
    if (mine.place === at && after.length) [mine.place] = after;
    changed();
  };
  const left = fact.places.filter((place) => !known(fact, place));
  return html`<div class="places-of">
    <div class="places" role="group" aria-label="Where: ${fact.ask}">
      ${fact.places.map((place) => placeButton(fact, place, mine))}
    </div>
    ${questionView({ ...q, place: mine.place, enter }, false)}
    ${fact.kind !== "number" && left.length > 1 ? allAlike(q, fact, left) : nothing}
  </div>`;
}

/** The clear answer for all places that are left, in one move. */
function allAlike(q, fact, left) {
  const [id, label] =
    fact.kind === "yesno" ? ["no", "No"] : [fact.answers[0].id, fact.answers[0].label];
  const all = () =>
    q.enter(
      ...left.map((place) => ({
        by: q.by,
        fact: fact.id,
        place,
        value: fact.kind === "several" ? [id] : id,
      })),
    );
  return html`<button type="button" class="plain" @click=${all}>
    ${label} at all ${left.length} that are left
  </button>`;
}

function single(q, fact) {
  const entry = known(fact, null);
  const mine = memory(`again ${state.open.id} ${fact.id}`, { open: false });
  if (!entry || mine.open) {
    const enter = async (...bodies) => {
      mine.open = false;
      await q.enter(...bodies);
    };
    return questionView({ ...q, place: null, enter }, false);
  }
  const again = () => {
    mine.open = true;
    changed();
  };
  return html`<p class="known">
    ${fact.ask} <strong>${short(valueWords(entry))}${findingOf(fact, null, entry)}</strong>
    <button type="button" class="plain" @click=${again}>Change</button>
  </p>`;
}
