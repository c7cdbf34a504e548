// How a typed value was understood: in both units, and against its limit.
import { html, nothing } from "../lit.js";
import { short } from "../number.js";

const FINDINGS = {
  good: "Good: within the limit",
  between: "Between good and bad: says nothing either way",
  bad: "Bad: beyond the limit",
};

export const findingView = (finding) =>
  finding ? html`<p class="finding ${finding}">${FINDINGS[finding]}</p>` : nothing;

export function limitView(limit) {
  if (!limit) return nothing;
  const less = limit.lower_is_better;
  const edge = (word, value) => `${word} ${less ? "up to" : "from"} ${short(value)}`;
  return limit.rows.map(
    (row) =>
      html`<p class="small quiet">
        ${row.class === "all" ? "" : `${row.class}: `}${edge("Good", row.good)}, bad
        ${less ? "from" : "up to"} ${short(row.bad)}. ${row.origin}. The maker's value wins.
      </p>`,
  );
}

function tireView(tire) {
  const inches = (tire.outer_diameter_mm / 25.4).toFixed(1);
  return html`<p class="understood">
      ${tire.designation}: ${inches} in (${Math.round(tire.outer_diameter_mm)} mm) across, turns
      ${Math.round(tire.revs_per_mile)} times a mile (${Math.round(tire.revs_per_km)} a km)
    </p>
    ${tire.cautions.map((caution) => html`<p class="caution">${caution}</p>`)}`;
}

export function readingView(reading) {
  if (!reading) return nothing;
  if (reading.offline) return html`<p class="quiet">${reading.problems[0].what}</p>`;
  if (reading.problems)
    return reading.problems.map(
      ({ what, right }) => html`<p class="problem">${what}${right ? `; ${right}` : ""}</p>`,
    );
  const { ok } = reading;
  if (ok.designation) return tireView(ok);
  const both = ok.us && ok.metric && ok.us !== ok.metric;
  return html`
    ${
      ok.us
        ? html`<p class="understood">
            Understood: ${short(ok.us)}${both ? ` (${short(ok.metric)})` : ""}
          </p>`
        : nothing
    }
    ${findingView(ok.finding)} ${limitView(ok.limit)}
  `;
}
