// Recordings on the page: a file or this device's sensor, read by the engine in its worker.
import { reads } from "../ask.js";
import { html, nothing } from "../lit.js";
import { segments } from "../parts/segments.js";
import { changed } from "../state.js";
import { columnsView } from "./columns.js";
import { deviceView } from "./device.js";
import { textField } from "./field.js";
import { askColumns, nothingSaid, questionOf } from "./given.js";
import { resultView } from "./result.js";
import { readSlot, slotAt, speedUnit, stopReading } from "./slot.js";

const KINDS = ".csv,.txt,.wav,text/csv,text/plain,audio/wav";
const WAYS = { file: "From a file", device: "With this device" };
const IN_FORM = ["time_unit", "acceleration_unit", "speed_unit", "engine_unit", "rows_per_second"];
const SHOWN = { "": "Not said", gps: "Satellite", speedometer: "Dash" };

/** Those that the form for columns has as well stand in it alone while it is open. */
function questionsView({ given, asked, unfolded, columns }, at) {
  const inForm = unfolded && columns.length > 0;
  const shown = inForm ? asked.filter((id) => !IN_FORM.includes(id)) : asked;
  return shown.map(questionOf).map(({ id, label, choices, example }) => {
    if (!choices) return textField({ id: `${at}-${id}`, label, example: `As ${example}` }, given, id);
    const options = Object.fromEntries(choices.map((one) => [one, one]));
    return segments(label, options, given[id], (unit) => {
      given[id] = unit;
      changed();
    });
  });
}

/** What is to be said of both files. */
function saidView({ said, file, speedFile }, at) {
  const two = Boolean(speedFile);
  return html`${questionsView(said.file, at)}
    ${columnsView(said.file, at, { name: two ? file?.name : "" })}
    ${
      two
        ? html`${questionsView(said.speeds, `${at}-speeds`)}
          ${columnsView(said.speeds, `${at}-speeds`, { ofSpeeds: true, name: speedFile.name })}`
        : nothing
    }`;
}

const again = (slot) => () => readSlot(slot);

function problemsView({ problems, problemsOf, said, speedFile }) {
  const { columns } = problemsOf && problemsOf === speedFile ? said.speeds : said.file;
  const where = (line) =>
    [speedFile && problemsOf?.name, line && `line ${line}`].filter(Boolean).join(", ");
  const needed = (problem) =>
    columns.length && askColumns([problem]) ? "say below which column is what" : problem.right;
  return html`<div role="alert">
    ${problems.map(
      (problem) =>
        html`<p class="problem">
          ${where(problem.line) ? `${where(problem.line)}: ` : ""}${problem.what}${
            problem.right ? `; needed: ${needed(problem)}` : ""
          }
        </p>`,
    )}
  </div>`;
}

function chooser({ id, label, main }, chosen) {
  const choose = (event) => {
    const files = [...event.target.files];
    event.target.value = "";
    if (files.length) chosen(files);
  };
  return html`<label class=${main ? "button main" : "button"} for=${id}>${label}</label>
    <input id=${id} class="unseen" type="file" accept=${KINDS} multiple @change=${choose} />`;
}

/** What was asked about another file counts for it alone. */
function readFile(slot, file) {
  slot.file = file;
  slot.said.file = nothingSaid();
  readSlot(slot);
}

function setSpeedFile(slot, file) {
  slot.speedFile = file;
  slot.said.speeds = nothingSaid();
}

/** Of two files the larger one is the recording, the other one has the speeds. */
function takeFiles(slot, files) {
  const [file, speedFile] = [...files].sort((a, b) => b.size - a.size);
  if (speedFile) setSpeedFile(slot, speedFile);
  readFile(slot, file);
}

function dropped(slot) {
  return {
    over: (event) => event.preventDefault(),
    drop: (event) => {
      event.preventDefault();
      const { files } = event.dataTransfer;
      if (files.length) takeFiles(slot, files);
    },
  };
}

const speedField = (slot, at) => () =>
  textField({ id: `${at}-speed`, label: "Speed that was held", unit: speedUnit() }, slot.held, "speed");

/** What few files need: speeds in a file of their own, or held and not recorded. */
function besideView(slot, at) {
  const forget = () => {
    setSpeedFile(slot, null);
    changed();
  };
  const setBy = (by) => {
    slot.by = by;
    changed();
  };
  const toggle = (event) => {
    slot.unfolded = event.target.open;
  };
  const rpm = {
    id: `${at}-rpm`,
    label: "Engine speed that was held",
    unit: "rpm",
    help: "Where it is not recorded. May stay empty.",
  };
  const offset = {
    id: `${at}-offset`,
    label: "Seconds to add to the times of the speeds",
    unit: "s",
    help: "Left empty: found from the drive itself, where it shows.",
  };
  return html`<details ?open=${Boolean(slot.unfolded)} @toggle=${toggle}>
    <summary>Where the speed is not in the file</summary>
    ${speedField(slot, at)()} ${textField(rpm, slot.held, "rpm")}
    ${segments("Speed read from", SHOWN, slot.by, setBy)}
    <div class="actions">
      ${chooser({ id: `${at}-speeds`, label: "Choose a file of speeds" }, ([file]) => {
        setSpeedFile(slot, file);
        changed();
      })}
    </div>
    ${
      slot.speedFile
        ? html`<p>
              Speeds: ${slot.speedFile.name}
              <button type="button" class="plain" @click=${forget}>Without it</button>
            </p>
            ${textField(offset, slot.held, "offset")}`
        : nothing
    }
  </details>`;
}

function fileView(slot, at) {
  const { over, drop } = dropped(slot);
  return html`<div class="drop" @dragover=${over} @drop=${drop}>
      ${chooser({ id: `${at}-file`, label: "Choose a recording", main: !slot.file }, (files) =>
        takeFiles(slot, files),
      )}
      <p class="small quiet">
        Or drop it here. Comma separated text; a line that names its columns with their units, as
        time_s, ax_mps2 or ax_g, speed_kmh, saves questions. Or a WAV file. Long ones are read piece
        by piece.
      </p>
    </div>
    ${besideView(slot, at)}`;
}

function progressView(slot) {
  const { part, seconds } = slot.progress;
  return html`<p role="timer">
      Reading ${slot.file.name}: ${Math.round(100 * part)} %${seconds ? `, ${Math.round(seconds)} s of it` : ""}
    </p>
    <progress aria-label="How much is read" max="1" .value=${part}></progress>
    <p><button type="button" @click=${() => stopReading(slot)}>Stop reading</button></p>`;
}

function readView(slot, at, put, by) {
  if (slot.progress) return progressView(slot);
  return html`${problemsView(slot)} ${saidView(slot, at)}
    ${
      slot.file && (slot.way === "file" || slot.said.file.asked.length)
        ? html`<p class="actions">
            <button type="button" class=${slot.reading ? "" : "main"} @click=${again(slot)}>
              Read ${slot.file.name} again
            </button>
          </p>`
        : nothing
    }
    ${slot.reading ? resultView(slot, { at, put, by }) : nothing}`;
}

export function roomView({ at, by, put }) {
  if (!reads())
    return html`<p>
      Recordings are read by the engine in this page, and it is not here: it is still coming, or this
      browser does not let it run. The program reads them too: perrev recording.
    </p>`;
  const slot = slotAt(at);
  const setWay = (way) => {
    slot.way = way;
    changed();
  };
  const readMade = (file) => {
    setSpeedFile(slot, null);
    readFile(slot, file);
  };
  return html`<div class="recording">
    ${segments("Recording", WAYS, slot.way, setWay)}
    ${slot.way === "file" ? fileView(slot, at) : deviceView(slot, readMade, speedField(slot, at))}
    ${readView(slot, at, put, by)}
  </div>`;
}
