// Which column of a text is what, where the engine cannot tell or was wrong: a field for each thing
// that is read, made from the columns that the engine found (csv_header_columns.h).
import { html, nothing } from "../lit.js";
import { changed } from "../state.js";
import { textField } from "./field.js";
import { columnsSaid, questionOf, withColumn } from "./given.js";

const OF_RECORDING = [
  { id: "time_unit", roles: { time: "Time" } },
  {
    id: "acceleration_unit",
    roles: { x: "Acceleration ahead", y: "Acceleration to the left", z: "Acceleration upward" },
  },
  { id: "speed_unit", roles: { speed: "Speed" } },
  { id: "engine_unit", roles: { engine: "Engine speed" } },
];
const OF_SPEED_FILE = OF_RECORDING.filter(({ roles }) => roles.time || roles.speed);

const short = (text) => (text.length > 24 ? `${text.slice(0, 23)}…` : text);

function select(id, label, choices, chosen, set) {
  const choose = (event) => {
    set(event.target.value);
    changed();
  };
  return html`<div class="field">
    <label for=${id}>${label}</label>
    <select id=${id} @change=${choose}>
      ${choices.map(
        ([value, words]) => html`<option value=${value} .selected=${value === chosen}>${words}</option>`,
      )}
    </select>
  </div>`;
}

const columnWords = ({ name, first }) => (first ? `${name} (first: ${short(first)})` : name);

function groupView(file, at, { id, roles }) {
  const said = columnsSaid(file);
  const columns = [["", "Not in the file"], ...file.columns.map((one) => [one.name, columnWords(one)])];
  const used = file.columns.filter(({ name }) => Object.keys(roles).some((role) => said[role] === name));
  const inFile = [...new Set(used.map(({ unit }) => unit).filter(Boolean))].join(", ");
  const { label, choices } = questionOf(id);
  const units = [["", inFile ? `As the file says: ${inFile}` : "Not said"], ...choices.map((one) => [one, one])];
  return html`<div class="columns-said">
    ${Object.entries(roles).map(([role, words]) =>
      select(`${at}-column-${role}`, words, columns, said[role] ?? "", (name) => {
        file.given.columns = withColumn(file, role, name);
      }),
    )}
    ${
      used.length
        ? select(`${at}-column-${id}`, label, units, file.given[id] ?? "", (unit) => {
            file.given[id] = unit;
          })
        : nothing
    }
    ${
      "time" in roles && !said.time
        ? textField(
            { id: `${at}-column-rows`, label: questionOf("rows_per_second").label, unit: "Hz" },
            file.given,
            "rows_per_second",
          )
        : nothing
    }
  </div>`;
}

/** `file`: a part of slot.said; `name` of it where there are two. */
export function columnsView(file, at, { ofSpeeds = false, name = "" } = {}) {
  if (!file.columns.length) return nothing;
  const toggle = (event) => {
    file.unfolded = event.target.open;
  };
  return html`<details class="columns-form" ?open=${Boolean(file.unfolded)} @toggle=${toggle}>
    <summary>Which column is what${name ? ` in ${name}` : ""}</summary>
    ${(ofSpeeds ? OF_SPEED_FILE : OF_RECORDING).map((group) => groupView(file, at, group))}
  </details>`;
}
