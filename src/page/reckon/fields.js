// The fields of a reckoning: a quantity with its unit, a choice, readings in rows.
import { html, nothing } from "../lit.js";
import { segments } from "../parts/segments.js";
import { goToCell } from "./cells.js";
import { setUsual, touched, usualUnits } from "./draft.js";
import { rowsOf, unitKey, unitOf, unitsOf } from "./given.js";

const SIDE_BY_SIDE = 5; // choices; more are a list
const FITTING = 3; // columns on a phone; of more, each row is a block

/** A minus, a colon or a name of a clock needs more than the figures of a telephone. */
const keyboard = (column, unit) =>
  unit === "o'clock" || /-/.test(column.range ?? "") ? "text" : "decimal";

/** "Its place" twice in one table: each is named after the column that it goes with. */
function nameOf({ columns }, c) {
  const alike = columns.filter((one) => one.label === columns[c].label).length;
  return alike > 1 && c > 0 ? `${columns[c - 1].label}, ${columns[c].label}` : columns[c].label;
}

function unitView({ field, draft, id }, c) {
  const column = field.columns[c];
  const units = unitsOf(column);
  const unit = unitOf(field, c, draft, usualUnits());
  if (units.length < 2) return html`<span class="unit">${unit}</span>`;
  const choose = (event) => {
    draft.units[unitKey(field, c)] = event.target.value;
    setUsual(column.around ? "place" : column.dimension, event.target.value);
    touched(draft);
  };
  return html`<select
    class="unit-choice"
    id="${id}-unit-${c}"
    aria-label="Unit of ${nameOf(field, c)}"
    .value=${unit}
    @change=${choose}
  >
    ${units.map((one) => html`<option value=${one} ?selected=${one === unit}>${one}</option>`)}
  </select>`;
}

const problemsView = (problems, id) =>
  html`<div id="${id}-problems">
    ${problems.map(({ words }) => html`<p class="problem">${words}</p>`)}
  </div>`;

function quantity(at) {
  const { field, draft, id, problems } = at;
  const [column] = field.columns;
  const input = (event) => {
    draft.texts[field.id] = event.target.value;
    touched(draft);
  };
  return html`<div class="field">
    <label for=${id}>${field.label}</label>
    <p id="${id}-help" class="small quiet">
      ${field.help}
      ${field.usual ? `Left empty: ${field.usual}.` : field.required ? "" : "May stay empty."}
    </p>
    <span class="with-unit">
      <input
        id=${id}
        type="text"
        inputmode=${keyboard(column, unitOf(field, 0, draft, usualUnits()))}
        enterkeyhint="next"
        autocomplete="off"
        spellcheck="false"
        placeholder=${field.usual || nothing}
        aria-describedby="${id}-help ${id}-problems"
        aria-invalid=${problems.length ? "true" : nothing}
        .value=${draft.texts[field.id] ?? ""}
        @input=${input}
      />
      ${unitView(at, 0)}
    </span>
    ${problemsView(problems, id)}
  </div>`;
}

function choice({ field, draft, id, problems }) {
  const set = (chosen) => {
    draft.choices[field.id] = chosen;
    touched(draft);
  };
  const now = draft.choices[field.id] ?? field.usual;
  if (field.choices.length <= SIDE_BY_SIDE) {
    const options = Object.fromEntries(field.choices.map((one) => [one.id, one.label]));
    return html`${segments(field.label, options, now, set)}
      <p class="small quiet">${field.help}</p>
      ${problemsView(problems, id)}`;
  }
  return html`<div class="field">
    <label for=${id}>${field.label}</label>
    <p id="${id}-help" class="small quiet">${field.help}</p>
    <select id=${id} aria-describedby="${id}-help" @change=${(event) => set(event.target.value)}>
      ${field.choices.map(
        (one) => html`<option value=${one.id} ?selected=${one.id === now}>${one.label}</option>`,
      )}
    </select>
    ${problemsView(problems, id)}
  </div>`;
}

function cell(at, rows, r, c) {
  const { field, draft, id, problems } = at;
  const column = field.columns[c];
  const wrong = problems.some((one) => one.row === r && one.column === c);
  const input = (event) => {
    draft.rows[field.id] = rows.with(r, rows[r].with(c, event.target.value));
    touched(draft);
  };
  return html`<td>
    <span class="cell-label" aria-hidden="true">${column.label}</span>
    <input
      type="text"
      inputmode=${keyboard(column, unitOf(field, c, draft, usualUnits()))}
      enterkeyhint="next"
      autocomplete="off"
      spellcheck="false"
      aria-label="${nameOf(field, c)}, row ${r + 1}"
      aria-describedby=${wrong ? `${id}-problems` : nothing}
      aria-invalid=${wrong ? "true" : nothing}
      data-field=${field.id}
      data-row=${r}
      data-column=${c}
      data-optional=${column.required ? nothing : "true"}
      .value=${rows[r][c]}
      @input=${input}
    />
  </td>`;
}

/** True where a row came; none comes after an empty one or after the most. */
export function addRow({ field, draft }) {
  const rows = rowsOf(field, draft);
  if (rows.length >= field.most || rows.at(-1).every((text) => !text.trim())) return false;
  draft.rows[field.id] = [...rows, field.columns.map(() => "")];
  touched(draft);
  return true;
}

function removeButton({ field, draft }, rows, r) {
  if (rows.length <= Math.max(1, field.fewest)) return nothing;
  const remove = (event) => {
    draft.rows[field.id] = rows.filter((_, i) => i !== r);
    touched(draft);
    goToCell(event.target.closest(".reckoning"), field.id, Math.min(r, rows.length - 2), 0);
  };
  return html`<td>
    <button type="button" class="remove" aria-label="Remove row ${r + 1}" @click=${remove}>
      ×
    </button>
  </td>`;
}

/** A row's problem names the row, unless it does so itself. */
const rowWords = ({ row, words }) => ({
  words: row === null || words.includes(`row ${row + 1}`) ? words : `Row ${row + 1}: ${words}`,
});

function rowsView(at) {
  const { field, draft, id, problems } = at;
  const rows = rowsOf(field, draft);
  const removable = rows.length > Math.max(1, field.fewest);
  const add = (event) => {
    if (addRow(at)) goToCell(event.target.closest(".reckoning"), field.id, rows.length, 0);
  };
  const many =
    field.fewest === field.most ? `${field.most} rows.` : `${field.fewest} to ${field.most} rows.`;
  const free = field.required ? "" : " May stay empty.";
  return html`<fieldset class="readings" aria-describedby="${id}-help">
    <legend>${field.label}</legend>
    <p id="${id}-help" class="small quiet">${field.help} ${many}${free}</p>
    <div class="scroll">
      <table class="cells ${field.columns.length > FITTING ? "many" : ""}">
        <thead>
          <tr>
            <th scope="col"><span class="unseen">Row</span></th>
            ${field.columns.map(
              (column, c) =>
                html`<th scope="col">
                  <span>${column.label}</span>
                  ${column.required ? nothing : html`<span class="small quiet">may stay empty</span>`}
                  ${unitView(at, c)}
                </th>`,
            )}
            ${removable ? html`<td></td>` : nothing}
          </tr>
        </thead>
        <tbody>
          ${rows.map(
            (row, r) =>
              html`<tr>
                <th scope="row">${r + 1}</th>
                ${row.map((_, c) => cell(at, rows, r, c))} ${removeButton(at, rows, r)}
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
    ${problemsView(problems.map(rowWords), id)}
    ${
      field.fewest === field.most
        ? nothing
        : html`<button type="button" ?disabled=${rows.length >= field.most} @click=${add}>
            Add a row
          </button>`
    }
  </fieldset>`;
}

const VIEWS = { quantity, choice, rows: rowsView };

/** at: {field, draft, id, problems}. */
export const fieldView = (at) => VIEWS[at.field.kind](at);
