// Recording with the device that shows the page: how it lies, the large buttons, what comes in.
import { html, nothing } from "../lit.js";
import { changed, units } from "../state.js";
import { csvParts, paceOf } from "./rows.js";
import { beginRecording, lackingHere } from "./sensor.js";

const WISHED = 30; // s
const FEW = 3; // fixes, that are no speed

const HOW = [
  "Lay it flat on the seat rail or the floor, screen up, its top ahead, where it cannot slide. Not held in the hand, not on a cushion.",
  "The driver drives and does not touch this. The passenger starts and stops it.",
  `Record at least ${WISHED} s where it shakes, at one speed or slowly through it, on the smoothest road there is.`,
];

const one = (value, name) => `${value} ${name}${value === 1 ? "" : "s"}`;

function paceWords(made) {
  const { rate, gaps, seconds } = paceOf(made.rows);
  if (!rate) return ["Waiting for the sensor"];
  const fix = made.fixes.at(-1);
  const [size, unit] = units() === "metric" ? [3.6, "km/h"] : [3600 / 1609.344, "mph"];
  return [
    `${Math.floor(seconds)} s of at least ${WISHED} s`,
    `${Math.round(rate)} readings a second, so up to ${Math.round(0.4 * rate)} Hz can be told`,
    gaps ? `${one(gaps, "gap")}: keep this page in front` : "no gaps",
    fix
      ? `${Math.round(fix[1] * size)} ${unit} by satellite`
      : made.noSpeed
        ? "no speed by satellite: hold one speed and type it in afterwards"
        : "no speed by satellite yet",
  ];
}

/** What was recorded, as a file of its own. */
function fileOf(rows, fixes) {
  const name = `recording-${new Date().toISOString().slice(0, 19).replaceAll(":", "")}.csv`;
  return new File(csvParts(rows, fixes), name, { type: "text/csv" });
}

function save(file) {
  const url = URL.createObjectURL(file);
  const link = document.createElement("a");
  Object.assign(link, { href: url, download: file.name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
}

/** `slot.device`: {starting, recorder, ticking, words, file, lacksSpeed}. */
function finish(slot, words = "") {
  const { device } = slot;
  const { made, stop } = device.recorder;
  stop();
  clearInterval(device.ticking);
  slot.device = { words };
  if (made.rows.length) {
    const lacksSpeed = made.fixes.length < FEW;
    Object.assign(slot.device, { file: fileOf(made.rows, lacksSpeed ? [] : made.fixes), lacksSpeed });
    slot.held.speed = ""; // was of another drive
  }
  changed();
}

async function start(slot) {
  const device = (slot.device = { starting: true });
  changed();
  const got = await beginRecording((words) => finish(slot, words));
  if (got.refused) slot.device = { words: got.refused };
  else Object.assign(device, { starting: false, recorder: got, ticking: setInterval(changed, 500) });
  changed();
}

function runningView(slot) {
  const { made } = slot.device.recorder;
  const [time, ...rest] = paceWords(made);
  return html`<div class="recording-now">
      <p class="recording-time" role="timer">${time}</p>
      <progress aria-label="Of what is wished" max=${WISHED} .value=${paceOf(made.rows).seconds}></progress>
      ${rest.map((words) => html`<p>${words}</p>`)}
    </div>
    <button type="button" class="main huge" @click=${() => finish(slot)}>Stop recording</button>`;
}

/** `read(file)` hands it to the engine; `speedField` is where a held speed is typed. */
function madeView(slot, read, speedField) {
  const { file, lacksSpeed } = slot.device;
  return html`<p>It is recorded.</p>
    ${
      lacksSpeed
        ? html`<p>No speed came by satellite. Which speed was held?</p>
            ${speedField()}`
        : nothing
    }
    <p class="actions">
      <button type="button" class="main" @click=${() => read(file)}>
        ${lacksSpeed && !slot.held.speed ? "Read it without a speed" : "Read it"}
      </button>
      <button type="button" @click=${() => save(file)}>Save it as a file</button>
    </p>`;
}

export function deviceView(slot, read, speedField) {
  const lacking = lackingHere();
  if (lacking) return html`<p>${lacking}</p>`;
  const { device } = slot;
  if (device?.recorder) return runningView(slot);
  return html`<ul>
      ${HOW.map((words) => html`<li>${words}</li>`)}
    </ul>
    <div role="status">${device?.words ? html`<p class="problem">${device.words}</p>` : nothing}</div>
    ${device?.file ? madeView(slot, read, speedField) : nothing}
    <button
      type="button"
      class=${device?.file ? "" : "main huge"}
      ?disabled=${Boolean(device?.starting)}
      @click=${() => start(slot)}
    >
      ${device?.file ? "Record again" : "Start recording"}
    </button>`;
}
