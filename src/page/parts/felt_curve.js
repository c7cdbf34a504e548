// How one cause would be felt over speed: the engine's own picture, what it says in sentences, and
// the same numbers as a table.
import { answerOf } from "../case.js";
import { html, nothing } from "../lit.js";
import { percent } from "../number.js";
import { units } from "../state.js";
import { pictureOf } from "./picture.js";

const KM_IN = { us: 1.609344, metric: 1 };
const UNIT = { us: "mph", metric: "km/h" };

const placeName = (place) => place.replaceAll("_", " ");

function tableView({ rows }) {
  const places = Object.keys(rows[0].places);
  const speed = (km) => Math.round(km / KM_IN[units()]);
  return html`<details>
    <summary>The same as a table</summary>
    <div class="scroll" tabindex="0" role="region" aria-label="How many feel it, by speed">
      <table>
        <caption>
          People who would feel it
        </caption>
        <thead>
          <tr>
            <th scope="col">${UNIT[units()]}</th>
            <th scope="col">anywhere</th>
            ${places.map((place) => html`<th scope="col">${placeName(place)}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${rows.map(
            (row) =>
              html`<tr>
                <th scope="row">${speed(row.speed_km_h)}</th>
                <td>${percent(row.probability)}</td>
                ${places.map((place) => html`<td>${percent(row.places[place])}</td>`)}
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
  </details>`;
}

export function curveView(cause, where, width) {
  const { ok, problems } = answerOf("feel", { cause, width });
  if (problems && !ok)
    return html`<p class="small">
      ${problems.map(({ what, right }) => (right ? `${what}; needed: ${right}` : what)).join(". ")}
    </p>`;
  if (!ok) return html`<p class="quiet">Working it out</p>`;
  const picture = pictureOf(ok.svg, `${where} ${cause}`);
  return html`
    <p>${ok.title}</p>
    ${picture}
    <ul class="small">
      ${ok.sentences.map((sentence) => html`<li>${sentence}</li>`)}
    </ul>
    ${ok.cautions.map((caution) => html`<p class="caution">${caution}</p>`)}
    ${ok.rows.length ? tableView(ok) : nothing}
    <p class="small quiet">${ok.notes.join(" ")}</p>
  `;
}
