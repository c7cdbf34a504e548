// The manoeuvres of the drive as cards: what to do at which speed, what to watch.
import { enter } from "../case.js";
import { factOf } from "../catalogue.js";
import { current } from "../entries.js";
import { html, nothing } from "../lit.js";
import { minutes } from "../number.js";
import { changed, memory, state, units } from "../state.js";
import { factView } from "./places.js";
import { recordingHere } from "./recording.js";

const KMH_PER_MPH = 1.609344;

const speedWords = (kmh) =>
  units() === "metric"
    ? `${Math.round(kmh)} km/h`
    : `${Math.round(kmh / KMH_PER_MPH)} mph`;

/** "45 to 75 mph, engine 1500 to 2500 rpm" */
export function speedsOf({
  from_km_h: from,
  to_km_h: to,
  engine_low_rpm: low,
  engine_high_rpm: high,
}) {
  const out = [];
  if (from !== null && to !== null && from !== to)
    out.push(`${speedWords(from).split(" ")[0]} to ${speedWords(to)}`);
  else if (to !== null || from !== null) out.push(`at ${speedWords(to ?? from)}`);
  if (low !== null && high !== null)
    out.push(`engine ${Math.round(low)} to ${Math.round(high)} rpm`);
  return out.join(", ");
}

const isKnown = (fact) => Boolean(current(state.open.entries, fact));

function cardBody(card, driving) {
  const how = state.catalogue.checks.get(card.check)?.how;
  return html` ${how ? html`<p>${how}</p>` : nothing}
  ${
    card.separates?.length
      ? html`<p class="small quiet">
          Tells apart ${card.separates.map((pair) => pair.words).join("; ")}.
        </p>`
      : nothing
  }
  ${
    driving
      ? html`${recordingHere({
          facts: card.watch.map(({ fact }) => fact),
          at: card.check,
          by: "road",
          put: enter,
        })}
        ${card.watch.map(({ fact }) => factView({ fact, by: "road", enter }))}`
      : html`<p class="small quiet">
          Watch: ${card.watch.map(({ fact }) => factOf(fact)?.ask).join(" ")}
        </p>`
  }`;
}

function cardView(card, driving, mine) {
  const open = mine.open === card.check;
  const done = card.watch.length > 0 && card.watch.every(({ fact }) => isKnown(fact));
  const toggle = () => {
    mine.open = open ? null : card.check;
    changed();
  };
  return html`<li>
    <button type="button" class="sheet-line" aria-expanded=${open} @click=${toggle}>
      <span>${card.what} <span class="small quiet">${speedsOf(card)}</span></span>
      <span class="value">${done ? "done" : minutes(card.minutes)}</span>
    </button>
    ${card.caution ? html`<p class="caution small">${card.caution}</p>` : nothing}
    ${open ? html`<div class="inset">${cardBody(card, driving)}</div>` : nothing}
  </li>`;
}

export function manoeuvresView(road, driving) {
  const mine = memory(`manoeuvres ${state.open.id}`, { open: null, kept: [] });
  // A card that has told its part leaves the plan; it stays here, with its answers.
  for (const card of [...road.manoeuvres, ...road.longer_drives])
    if (driving && !mine.kept.some((one) => one.check === card.check)) mine.kept.push(card);
  const all = driving ? mine.kept : [...road.manoeuvres, ...road.longer_drives];
  const moving = driving ? all.filter((card) => card.kind !== "standing" || !cardDone(card)) : all;
  if (!moving.length) return html`<p class="quiet no-print">No manoeuvre would tell more now.</p>`;
  return html`<ol class="steps cards">
      ${moving.map((card) => cardView(card, driving, mine))}
    </ol>
    ${
      road.left_open?.length
        ? html`<p class="small quiet">
            No drive tells everything apart; the bay decides the rest.
          </p>`
        : nothing
    }`;
}

const cardDone = (card) => card.watch.every(({ fact }) => isKnown(fact));
