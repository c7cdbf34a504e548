// What a reckoning has found: in words, against limits, as a picture, as numbers.
import { html, nothing } from "../lit.js";
import { pictureOf } from "../parts/picture.js";
import { findingView, limitView } from "../parts/reading.js";
import { segments } from "../parts/segments.js";

/** Which row of a limit applies, where the vehicle does not tell. */
function classView({ rows }, draft, choose) {
  if (rows.length === 1 && draft.class && rows[0].class === draft.class)
    return html`<button type="button" class="plain" @click=${() => choose("")}>
      Not ${draft.class.replaceAll("_", " ")}: choose another limit
    </button>`;
  if (rows.length < 2) return nothing;
  const options = Object.fromEntries(
    rows.map((row) => [row.class, row.class.replaceAll("_", " ")]),
  );
  return segments("Which limit applies", options, draft.class ?? "", choose);
}

function limitOf(one, draft, choose) {
  const [row] = one.rows;
  const better = row && Number.parseFloat(row.good) <= Number.parseFloat(row.bad);
  return html`<div class="against">
    <p>${one.ask} <strong>${one.text}</strong></p>
    ${findingView(one.finding)}
    ${row ? limitView({ lower_is_better: better, rows: one.rows }) : nothing}
    ${classView(one, draft, choose)}
  </div>`;
}

/** "0.71 mm (0.65 to 0.77)" in its two parts. */
function parts(text) {
  const [, value, interval] = /^(.*) \((.* to .*)\)$/.exec(text) ?? [null, text, ""];
  return { value, interval };
}

function numbersView(numbers) {
  if (!numbers.length) return nothing;
  const rows = numbers.map(({ label, text }) => ({ label, ...parts(text) }));
  const sure = rows.some((row) => row.interval);
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Numbers">
    <table>
      <caption>
        In numbers
      </caption>
      <thead>
        <tr>
          <th scope="col">What</th>
          <th scope="col">Value</th>
          ${sure ? html`<th scope="col">With 95 % between</th>` : nothing}
        </tr>
      </thead>
      <tbody>
        ${rows.map(
          (row) =>
            html`<tr>
              <th scope="row">${row.label}</th>
              <td class="one-line">${row.value}</td>
              ${sure ? html`<td>${row.interval}</td>` : nothing}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

const BROAD = 420; // px; a picture that is wider is not shrunk to a phone, it slides

function pictureView(text, where) {
  const picture = pictureOf(text, where);
  if (Number(picture.getAttribute("width")) < BROAD)
    return html`<div class="reckoned-picture">${picture}</div>`;
  return html`<div
    class="reckoned-picture broad scroll"
    tabindex="0"
    role="region"
    aria-label="Picture"
  >
    ${picture}
  </div>`;
}

/** `choose(class)` is told which row of a limit applies. */
export function foundView(ok, draft, where, choose) {
  return html`
    <div aria-live="polite">
      ${ok.sentences.map((sentence, i) => html`<p class=${i ? "" : "understood"}>${sentence}</p>`)}
    </div>
    ${ok.limits.map((one) => limitOf(one, draft, choose))}
    ${ok.cautions.map((caution) => html`<p class="caution">${caution}</p>`)}
    ${ok.svg ? pictureView(ok.svg, where) : nothing} ${numbersView(ok.numbers)}
    ${ok.notes.map((note) => html`<p class="small quiet">${note}</p>`)}
  `;
}
