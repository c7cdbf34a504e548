// What turns how fast: order lines of this vehicle against speed, measured frequencies as points,
// and the same numbers as a table.
import { answerOf } from "../case.js";
import { html } from "../lit.js";
import { measuredPoints, rowsOf } from "../order_lines.js";
import { state } from "../state.js";
import { unitOf } from "./drive.js";
import { plotOf } from "./plot.js";

const SPEEDS = { mph: [30, 40, 50, 60, 70, 80], "km/h": [50, 70, 90, 110, 130] };

const cell = (hz) => (hz === null ? "—" : hz.toFixed(1));

export function linesView() {
  const unit = unitOf();
  const speeds = SPEEDS[unit];
  const slots = speeds.map((speed) => answerOf("lines", { speed: `${speed} ${unit}` }));
  if (slots.some((slot) => !slot.ok)) return html`<p class="quiet">Working it out</p>`;
  const answers = slots.map((slot) => slot.ok);
  const rows = rowsOf(answers);
  const points = measuredPoints(state.open.entries, unit);
  if (!rows.length)
    return html`<p class="quiet">
      Enter the tire size first: without it no line can be worked out.
    </p>`;
  return html`${plotOf(speeds, rows, points, unit)}
    <p class="small quiet">
      From the bottom up: ${rows.map((row) => row.about).join(", ")}.
      ${points.length ? "Dots are what was measured." : ""}
    </p>
    <div class="scroll" tabindex="0" role="region" aria-label="Order lines as a table">
      <table>
        <caption>
          Hz at each speed
        </caption>
        <thead>
          <tr>
            <th scope="col">${unit}</th>
            ${speeds.map((speed) => html`<th scope="col">${speed}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${rows.map(
            (row) =>
              html`<tr>
                <th scope="row">${row.about}</th>
                ${row.hz.map((hz) => html`<td>${cell(hz)}</td>`)}
              </tr>`,
          )}
          ${points.map(
            (point) =>
              html`<tr>
                <th scope="row">measured at ${Math.round(point.speed)}</th>
                <td colspan=${speeds.length}>${cell(point.hz)}</td>
              </tr>`,
          )}
        </tbody>
      </table>
    </div> `;
}
