// What is probable now, always beside the work: stops first, then causes with what made them so.
import { answerOf } from "../case.js";
import { factOf, placeWords, STATES } from "../catalogue.js";
import { html, nothing } from "../lit.js";
import { percent, signed } from "../number.js";
import { toRules } from "../router.js";
import { changed, memory, state } from "../state.js";
import { bar } from "./bar.js";
import { feltUnder } from "./felt.js";
import { hasOtherRules } from "./told.js";

const SHOWN = 0.005; // causes below it stand under "more"
const SMALL = 1; // decibans

export function stopsView(stops) {
  return stops.map(
    (stop) =>
      html`<div class="stop">
        <p><strong>Stop: ${stop.reason}.</strong> ${stop.caution}</p>
        <p class="small">Lifted by the bay: ${factOf(stop.cleared_by)?.ask ?? stop.cleared_by}</p>
      </div>`,
  );
}

/** Ids inside a value of an evidence item, in words. */
export function inWords(factId, text) {
  const fact = factOf(factId);
  const label = (id) => fact?.answers.find((one) => one.id === id)?.label ?? id;
  return text
    .split(", ")
    .map((part) => {
      const [, place, not, rest] = /^((?:left|right)_(?:front|rear) )?(not )?(.*)$/.exec(part);
      return `${place ? `${placeWords(place.trim())} ` : ""}${not ? "not: " : ""}${label(rest)}`;
    })
    .join(", ");
}

/** To its page in the rule base, with this case along. */
const toThing = (kind, id, words) =>
  html`<a href=${toRules({ kind, id }, state.open.id)}>${words}</a>`;

function itemView(item) {
  const by = item.provider
    ? `Worked out by arithmetic (${item.provider})`
    : html`By
      ${item.rules.map((id, i) => html`${i ? ", " : ""}${toThing("rule", id, id.replaceAll("_", " "))}`)}`;
  const weight = item.weight_decibans === null ? "impossible" : `${signed(item.weight_decibans)}`;
  return html`<li>
    <span class="weight">${weight}</span>
    <span>
      ${item.because}
      <span class="small quiet">
        ${item.facts.map((id, i) => html`${factOf(id)?.ask ?? id} ${inWords(id, item.values[i] ?? "")}. `)}
        ${by}${item.origins?.length ? `; ${item.origins.join("; ")}` : ""}.
      </span>
    </span>
  </li>`;
}

function evidenceView(cause) {
  const size = (item) =>
    item.weight_decibans === null ? Infinity : Math.abs(item.weight_decibans);
  const all = [...(cause.evidence ?? [])].sort((a, b) => size(b) - size(a));
  const large = all.filter((item) => size(item) >= SMALL);
  const small = all.filter((item) => size(item) < SMALL);
  const sum = small.reduce((total, item) => total + item.weight_decibans, 0);
  return html`<ul class="evidence">
      <li>
        <span class="weight">${signed(cause.prior_decibans ?? 0)}</span>
        <span>How usual it is, before anything was known</span>
      </li>
      ${large.map(itemView)}
      ${
        small.length
          ? html`<li>
              <span class="weight">${signed(sum)}</span>
              <details>
                <summary>${small.length} small ones together</summary>
                <ul class="evidence">
                  ${small.map(itemView)}
                </ul>
              </details>
            </li>`
          : nothing
      }
    </ul>
    <p class="small quiet">
      In decibans: +10 is ten times as likely under this cause as under one that is not listed.
    </p>`;
}

function reasonsOf(cause) {
  if (cause.evidence?.length) return evidenceView(cause);
  const { ok, problems } = answerOf("reasons", { cause: cause.cause });
  if (ok) return evidenceView(ok);
  return html`<p class="small">${problems ? problems[0].what : "Working it out"}</p>`;
}

function causeView(cause, open) {
  const isOpen = open.has(cause.cause);
  const toggle = (event) => {
    if (event.target.open) open.add(cause.cause);
    else open.delete(cause.cause);
    changed();
  };
  return html`<li>
    <details class="cause" @toggle=${toggle} ?open=${isOpen}>
      <summary>
        <span class="line">
          <span class="name">${cause.name}</span>
          <span class="percent">${percent(cause.probability)}</span>
        </span>
        <span class="line with-bar">
          ${bar(cause.probability)}
          <span class="small quiet">${STATES[cause.state] ?? cause.state}</span>
        </span>
      </summary>
      ${
        isOpen
          ? html`${reasonsOf(cause)} ${feltUnder(cause.cause)}
              <p class="small">${toThing("cause", cause.cause, "All rules about it")}</p>`
          : nothing
      }
    </details>
  </li>`;
}

function otherLine(name, probability) {
  return html`<li class="other">
    <span class="line"
      ><span class="name">${name}</span><span class="percent">${percent(probability)}</span></span
    >
    ${bar(probability)}
  </li>`;
}

/** The ranking as the diagnosis tells it, or {problems}. */
export const diagnosis = () => answerOf("diagnosis", {});

export function rankingView() {
  const { ok, problems, stale } = diagnosis();
  if (!ok) return html`<p class="quiet">${problems?.[0].what ?? "Working it out"}</p>`;
  const mine = memory("ranking", { open: new Set(), more: false });
  const shown = ok.ranking.filter(
    (c, i) => c.state !== "excluded" && (i < 3 || c.probability >= SHOWN),
  );
  const few = mine.more ? shown : shown.slice(0, 6);
  const more = () => {
    mine.more = !mine.more;
    changed();
  };
  return html`
    ${stale ? html`<p class="small">Without the network this stands as it was.</p>` : nothing}
    ${stopsView(ok.stops)}
    <ol class="causes">
      ${ok.nothing_left > 0.001 ? otherLine("Nothing is wrong any more", ok.nothing_left) : nothing}
      ${few.map((cause) => causeView(cause, mine.open))}
      ${otherLine("Something that is not listed", ok.not_listed)}
    </ol>
    ${
      shown.length > 6
        ? html`<button type="button" class="plain" @click=${more}>
            ${mine.more ? "Fewer" : `${shown.length - 6} more`}
          </button>`
        : nothing
    }
    ${
      ok.conflicts?.length
        ? html`<p class="caution">${ok.conflicts.map((conflict) => conflict.what).join(" ")}</p>`
        : nothing
    }
    <p class="small quiet">
      Ranked by rule base
      ${ok.rules_digest}.${
        hasOtherRules(ok.rules_digest)
          ? " The server works with another now; load the page again to rank by it."
          : nothing
      }
    </p>
  `;
}

/** One line for the ear: said when the first cause or the stops change. */
export function spoken() {
  const { ok } = state.open ? diagnosis() : {};
  if (!ok) return "";
  const [first] = ok.ranking;
  const stops = ok.stops.map((stop) => `Stop: ${stop.reason}. `).join("");
  return `${stops}First: ${first.name}, ${percent(first.probability)}`;
}
