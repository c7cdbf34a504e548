// Recordings on the page: a file or this device's sensor, read by the engine in its worker.
import { reads } from "../ask.js";
import { html, nothing } from "../lit.js";
import { segments } from "../parts/segments.js";
import { changed } from "../state.js";
import { deviceView } from "./device.js";
import { questionOf } from "./given.js";
import { resultView } from "./result.js";
import { readSlot, slotAt, speedUnit, stopReading } from "./slot.js";

const KINDS = ".csv,.txt,.wav,text/csv,text/plain,audio/wav";
const WAYS = { file: "From a file", device: "With this device" };
const SHOWN = { "": "Not said", gps: "Satellite", speedometer: "Dash" };

function textField({ id, label, help, unit, example }, texts, key) {
  const input = (event) => {
    texts[key] = event.target.value;
    changed();
  };
  return html`<div class="field">
    <label for=${id}>${label}</label>
    ${help ? html`<p id="${id}-help" class="small quiet">${help}</p>` : nothing}
    <span class="with-unit">
      <input
        id=${id}
        type="text"
        inputmode=${unit ? "decimal" : "text"}
        autocomplete="off"
        spellcheck="false"
        placeholder=${example ?? nothing}
        aria-describedby=${help ? `${id}-help` : nothing}
        .value=${texts[key] ?? ""}
        @input=${input}
      />
      ${unit ? html`<span class="unit">${unit}</span>` : nothing}
    </span>
  </div>`;
}

function questionsView(slot, at) {
  return slot.asked.map(questionOf).map(({ id, label, choices, example }) => {
    if (!choices)
      return textField({ id: `${at}-${id}`, label, example: `As ${example}` }, slot.given, id);
    const options = Object.fromEntries(choices.map((one) => [one, one]));
    return segments(label, options, slot.given[id], (unit) => {
      slot.given[id] = unit;
      changed();
    });
  });
}

const again = (slot) => () => readSlot(slot);

function problemsView(slot) {
  return html`<div role="alert">
    ${slot.problems.map(
      ({ what, right }) => html`<p class="problem">${what}${right ? `; needed: ${right}` : ""}</p>`,
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
  Object.assign(slot, { file, asked: [], given: {} });
  readSlot(slot);
}

/** Of two files the larger one is the recording, the other one has the speeds. */
function takeFiles(slot, files) {
  const [file, speedFile] = [...files].sort((a, b) => b.size - a.size);
  if (speedFile) slot.speedFile = speedFile;
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
    slot.speedFile = null;
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
        slot.speedFile = file;
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
        Or drop it here. Comma separated text whose first line names its columns with their units, as
        time_s, ax_mps2 or ax_g, speed_kmh; or a WAV file. Long ones are read piece by piece.
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
  return html`${problemsView(slot)} ${questionsView(slot, at)}
    ${
      slot.file && (slot.way === "file" || slot.asked.length)
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
    slot.speedFile = null;
    readFile(slot, file);
  };
  return html`<div class="recording">
    ${segments("Recording", WAYS, slot.way, setWay)}
    ${slot.way === "file" ? fileView(slot, at) : deviceView(slot, readMade, speedField(slot, at))}
    ${readView(slot, at, put, by)}
  </div>`;
}
