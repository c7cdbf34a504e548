// At write-up: one question at a time in the order the engine gives, or all of them as a sheet.
import { answerOf, enter, retract } from "../case.js";
import { factOf } from "../catalogue.js";
import { current, standing } from "../entries.js";
import { setKeys } from "../keys.js";
import { html, nothing } from "../lit.js";
import { changed, memory, state } from "../state.js";
import { keysOf, questionView, slotOf } from "../parts/question.js";
import { feltBeside } from "../parts/felt.js";
import { hasProposals, wordsView } from "../parts/own_words.js";
import { whyView } from "../parts/why.js";
import { sheetView } from "../parts/sheet.js";

const BY = "write_up";

const memoryOf = () =>
  memory(`write_up ${state.open.id}`, { skipped: [], asked: null, sheet: false });

/** The latest standing answer of the counter, which "back" takes back. */
const lastAnswer = () =>
  standing(state.open.entries).findLast((entry) => entry.by === BY && entry.fact);

function question(mine, next) {
  const last = lastAnswer();
  const ask = (question) => {
    mine.asked = question;
    mine.focus = true;
    changed();
  };
  return {
    ...next,
    by: BY,
    enter: async (body) => {
      // A size at one axle only: the other one is asked for next.
      const other = { front_axle: "rear_axle", rear_axle: "front_axle" }[body.place];
      const lacks = other && !current(state.open.entries, body.fact, other, "vehicle");
      mine.asked = lacks ? { fact: body.fact, place: null } : null;
      mine.leftAt = state.open.version;
      await enter(body);
      if (lacks) slotOf(mine.asked).where = other;
      mine.focus = true;
      changed();
    },
    skip: () => {
      mine.skipped = [...mine.skipped, { fact: next.fact, place: next.place ?? null }];
      ask(null);
    },
    back: last
      ? async () => {
          await retract(last.id, BY);
          ask({ fact: last.fact, place: last.place ?? null });
        }
      : undefined,
  };
}

function finished(mine, all) {
  const again = () => {
    mine.skipped = [];
    changed();
  };
  return html`<h2 tabindex="-1" class="ask">Enough for the write-up</h2>
    <p>
      Nothing more is worth asking before the car has been looked at or driven.
      ${all.length ? `${all.length} more can be asked; they stand in the sheet.` : ""}
    </p>
    <p class="actions">
      <a class="button main" href="#/case/${state.open.id}/road">Go on to the road test</a>
      <a class="button" href="#/case/${state.open.id}/bay">Go on to the bay</a>
      ${
        mine.skipped.length
          ? html`<button type="button" @click=${again}>Ask what was skipped</button>`
          : nothing
      }
    </p>`;
}

/** Without an engine: the complaint, safety, then the order of the rule base. */
function unordered(skipped) {
  const open = state.catalogue.list.filter(
    (fact) =>
      fact.asked_at.includes(BY) &&
      !current(state.open.entries, fact.id, null, fact.lasts) &&
      !skipped.some((one) => one.fact === fact.id),
  );
  const rank = (fact) => (fact.id === "complaint_words" ? 0 : fact.stop ? 1 : 2);
  open.sort((a, b) => rank(a) - rank(b));
  const all = open.map((fact) => ({ fact: fact.id, place: fact.places[0] ?? null }));
  return { next: all[0] ?? null, all };
}

/** An answer was entered, and what to ask now is not worked out yet. */
function isLeft(mine, version) {
  const left = !mine.asked && version <= mine.leftAt && mine.leftAt <= state.open.version;
  if (!left) delete mine.leftAt;
  return left;
}

/** A question stays under the hand that answers it, whatever others enter meanwhile. */
const stays = (mine, all) =>
  mine.shown &&
  all.some((one) => one.fact === mine.shown.fact && one.place === mine.shown.place);

function oneByOne(mine) {
  const asked = answerOf("questions", { by: BY, skipped: mine.skipped });
  const slot = asked.offline
    ? { ok: unordered(mine.skipped), version: state.open.version }
    : asked.ok || asked.problems
      ? asked
      : { ok: mine.last };
  mine.last = slot.ok;
  if (!slot.ok)
    return html`<p class="quiet">${slot.problems?.[0].what ?? "Working out what to ask"}</p>`;
  const leaving = isLeft(mine, slot.version ?? -1);
  const next = mine.asked ?? (leaving || stays(mine, slot.ok.all) ? mine.shown : slot.ok.next);
  mine.shown = next;
  if (!next) return finished(mine, slot.ok.all);
  const q = question(mine, next);
  // What is being left takes no second answer.
  setKeys(!leaving && factOf(next.fact) ? keysOf(q) : null);
  const view = next.fact === "complaint_words" ? wordsView(q) : questionView(q);
  return html`<div class=${leaving ? "waiting" : ""} ?inert=${leaving}>${view} ${whyView(next)}</div>`;
}

export function writeUpView() {
  const mine = memoryOf();
  const toSheet = () => {
    mine.sheet = !mine.sheet;
    changed();
  };
  const done = () => {
    mine.focus = !mine.sheet;
  };
  const proposals = () => wordsView({ by: BY, fact: "complaint_words", enter, done });
  return html`
    ${hasProposals() ? proposals() : mine.sheet ? sheetView(BY) : oneByOne(mine)}
    <p>
      <button type="button" class="plain" @click=${toSheet}>
        ${mine.sheet ? "One question at a time" : "All questions as a sheet"}
      </button>
    </p>
    ${current(state.open.entries, "worst_speed") ? feltBeside() : nothing}
  `;
}
