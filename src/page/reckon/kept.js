// What reckonings have put into the case: keeping it, and taking its readings up again.
import { factOf, placeWords, valueWords } from "../catalogue.js";
import { sameEntry, thisRound } from "../entries.js";
import { html, nothing } from "../lit.js";
import { moment, short } from "../number.js";
import { say, state } from "../state.js";
import { moveTo, touched } from "./draft.js";
import { draftOf } from "./given.js";

const partsOf = ({ fact, place, value, with: given }) => ({ fact, place, value, with: given });

const isIn = (body, entries) => entries.some((entry) => sameEntry(partsOf(entry), partsOf(body)));

/** The button that keeps it, or why there is nothing to keep. */
export function keepView(ok, form, draft, put) {
  const entries = thisRound(state.open.entries);
  const lacking = ok.place_needed.length
    ? html`<p class="small">
        ${ok.entries.length ? "More of it goes" : "It goes"} into the case once you choose where it
        was measured.
      </p>`
    : nothing;
  if (!ok.entries.length) return lacking;
  if (ok.entries.every((body) => isIn(body, entries)))
    return html`${lacking}
      <p class="known">It is in the case.</p>`;
  const keep = async () => {
    await put(...ok.entries);
    say("Kept in the case, with its readings.");
  };
  const where = ok.entries.find((body) => body.place)?.place;
  return html`${lacking}
    <p class="actions">
      <button type="button" class="main keep" @click=${keep}>
        Keep it in the case${where ? `, ${placeWords(where)}` : ""}
      </button>
    </p>`;
}

/** Entries that were kept at once stand together. */
function groups(form) {
  const out = [];
  for (const entry of thisRound(state.open.entries)) {
    if (entry.with?.reckoned !== form.id) continue;
    const before = out.at(-1);
    if (before && before.place === entry.place && sameEntry(before.with, entry.with))
      before.entries.push(entry);
    else out.push({ place: entry.place, with: entry.with, at: entry.at, entries: [entry] });
  }
  return out.reverse();
}

export function inCaseView(form, draft) {
  const all = groups(form);
  if (!all.length) return nothing;
  return html`<section class="in-case" aria-label="In the case">
    <h3>In the case</h3>
    <ul class="plain-list">
      ${all.map((group) => {
        const again = () => {
          moveTo(group.place ?? draft.place, form, draft);
          Object.assign(draft, draftOf(form, group.with));
          touched(draft);
          say("Its readings are in the form.");
        };
        const where = group.place ? placeWords(group.place) : "";
        return html`<li>
          <p class="small quiet">${[where, moment(group.at)].filter(Boolean).join(" · ")}</p>
          ${group.entries.map(
            (entry) =>
              html`<p>
                ${factOf(entry.fact)?.ask ?? entry.fact}
                <strong>${short(valueWords(entry))}</strong>
              </p>`,
          )}
          <button type="button" class="plain" @click=${again}>
            Take its readings up again<span class="unseen">, ${where || moment(group.at)}</span>
          </button>
        </li>`;
      })}
    </ul>
  </section>`;
}
