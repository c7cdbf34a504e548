// The controls during the drive, for one thumb: speed, where, how strong, and one large button.
import { enter } from "../case.js";
import { factOf } from "../catalogue.js";
import { html, nothing } from "../lit.js";
import { changed, memory, say, state, units } from "../state.js";
import { recordingHere } from "./recording.js";
import { segments } from "./segments.js";
import { frequencyEntry, speedEntry, tapEntries, tapsOf } from "./tap.js";

const STRENGTHS = { slight: "Slight", clear: "Clear", strong: "Strong", alarming: "Alarming" };
const SHORT = {
  steering_wheel: "Steering wheel",
  seat: "Seat",
  floor: "Floor",
  brake_pedal: "Brake pedal",
  gear_lever: "Gear lever",
  whole_car: "Whole car",
  heard_only: "Only heard",
};
const SOURCES = { speedometer: "Dash", gps: "Satellite" };

export const unitOf = () => (units() === "metric" ? "km/h" : "mph");

export const nowOf = () =>
  memory(`drive ${state.open.id}`, {
    speed: units() === "metric" ? 100 : 60,
    felt: "steering_wheel",
    strength: "clear",
    by: "speedometer",
    rpm: "",
    hz: "",
  });

const set = (change) => {
  Object.assign(nowOf(), change);
  changed();
};

const now = () => ({ ...nowOf(), unit: unitOf() });

function speedControl(mine) {
  const move = (by) => () => set({ speed: Math.max(0, mine.speed + by) });
  const typed = (event) => set({ speed: Math.max(0, Math.round(Number(event.target.value) || 0)) });
  return html`<div class="speed" role="group" aria-label="Speed">
    <button type="button" class="step" @click=${move(-5)} aria-label="5 slower">−5</button>
    <label class="big">
      <span class="unseen">Speed in ${unitOf()}</span>
      <input
        type="text"
        inputmode="numeric"
        id="speed"
        .value=${String(mine.speed)}
        @change=${typed}
      />
      <span class="unit">${unitOf()}</span>
    </label>
    <button type="button" class="step" @click=${move(5)} aria-label="5 faster">+5</button>
  </div>`;
}

async function felt() {
  const [first] = await enter(...tapEntries(state.open.entries, now()));
  navigator.vibrate?.(30);
  say(`Entered: ${first.with.speed}, ${STRENGTHS[first.with.strength].toLowerCase()}`);
}

const here = (fact, words) => async () => {
  const entry = speedEntry(fact, now());
  await enter(entry);
  say(`Entered: ${words} at ${entry.value}`);
};

function tapsList() {
  const taps = tapsOf(state.open.entries);
  if (!taps.length) return nothing;
  return html`<details>
    <summary>${taps.length === 1 ? "1 tap" : `${taps.length} taps`} on this drive</summary>
    <ol class="plain-list">
      ${taps.map(
        (tap) =>
          html`<li>
            ${tap.speed}, ${(SHORT[tap.felt] ?? tap.felt).toLowerCase()},
            ${(STRENGTHS[tap.strength] ?? "").toLowerCase()}
            <span class="small quiet">${new Date(tap.at).toLocaleTimeString()}</span>
          </li>`,
      )}
    </ol>
  </details>`;
}

export function tapView() {
  const mine = nowOf();
  const places = Object.fromEntries(
    factOf("felt_at").answers.map(({ id, label }) => [id, SHORT[id] ?? label]),
  );
  return html`<section class="tap" aria-label="What is felt now">
    ${speedControl(mine)}
    <div class="grid-3">${segments("Where", places, mine.felt, (id) => set({ felt: id }))}</div>
    <div class="grid-4">
      ${segments("How strong", STRENGTHS, mine.strength, (id) => set({ strength: id }))}
    </div>
    <button type="button" class="main huge" @click=${felt}>
      Felt now at ${mine.speed} ${unitOf()}
    </button>
    <div class="row">
      <button type="button" @click=${here("begins_speed", "begins")}>Begins here</button>
      <button type="button" @click=${here("worst_speed", "worst")}>Worst here</button>
      <button type="button" @click=${here("ends_speed", "gone again")}>Gone again</button>
    </div>
    ${segments("Speed read from", SOURCES, mine.by, (id) => set({ by: id }))} ${tapsList()}
  </section>`;
}

/** A frequency read off another device, with the speed and the engine speed held. */
export function measuredView() {
  const mine = nowOf();
  const submit = async (event) => {
    event.preventDefault();
    const hz = Number(String(mine.hz).replace(",", "."));
    if (!(hz > 0)) return say("A frequency in Hz is needed, as 13.5.");
    await enter(frequencyEntry(hz, now()));
    set({ hz: "" });
    return say(`Entered: ${hz} Hz at ${mine.speed} ${unitOf()}`);
  };
  const field = (id, label, unit, help) =>
    html`<div class="field">
      <label for=${id}>${label}</label>
      <span class="with-unit">
        <input
          id=${id}
          type="text"
          inputmode="decimal"
          autocomplete="off"
          .value=${mine[id]}
          @input=${(event) => set({ [id]: event.target.value })}
        />
        <span class="unit">${unit}</span>
      </span>
      ${help ? html`<p class="small quiet">${help}</p>` : nothing}
    </div>`;
  return html`<form @submit=${submit}>
      <div class="row">
        ${field("hz", "Measured frequency", "Hz")}
        ${field("rpm", "Engine speed", "rpm", "If it can be read")}
      </div>
      <button>Enter it at ${mine.speed} ${unitOf()}</button>
    </form>
    ${recordingHere({ at: "road", by: "road", put: enter })}`;
}
