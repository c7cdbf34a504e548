// The road test: what must be clear first, the cautions, the drive, and how it ended.
import { answerOf, enter } from "../case.js";
import { factOf } from "../catalogue.js";
import { keep, kept } from "../db.js";
import { current } from "../entries.js";
import { setKeys } from "../keys.js";
import { later } from "../later.js";
import { html, nothing } from "../lit.js";
import { minutes } from "../number.js";
import { changed, memory, say, state } from "../state.js";
import { measuredView, tapView } from "../parts/drive.js";
import { feltBeside } from "../parts/felt.js";
import { manoeuvresView } from "../parts/manoeuvres.js";
import { keysOf, questionView } from "../parts/question.js";

const BY = "road";

const CAUTIONS = [
  "The driver drives and does not touch this. The passenger enters.",
  "Obey the law. Never faster than the law and the road allow to find something.",
  "Stop where it is safe at once if anything feels loose, lumpy, hot, soft or smells.",
];

const NO_PLAN = { manoeuvres: [], longer_drives: [] };

/** The drive in progress is kept on the device, so that a reload does not end it. */
function driveOf() {
  const { id } = state.open;
  const mine = memory(`drive state ${id}`, { read: false, on: false, lines: false });
  if (!mine.read) {
    mine.read = true;
    kept(`drive ${id}`).then((on) => {
      mine.on = Boolean(on);
      changed();
    });
  }
  return mine;
}

function setDrive(on) {
  driveOf().on = on;
  keep(`drive ${state.open.id}`, on);
  changed();
}

const missingOf = (road) => [...new Set(road.before_driving.flatMap((gate) => gate.missing))];

function gateView(missing) {
  const [fact] = missing;
  const q = { fact, place: null, by: BY, enter };
  if (factOf(fact)) setKeys(keysOf(q));
  return html`<section aria-label="Before the drive">
    <p class="small quiet">
      Before it is driven:
      ${missing.length === 1 ? "the last question" : `${missing.length} questions`}. Anything that
      is not clear goes to the bay.
    </p>
    ${questionView(q)}
  </section>`;
}

function startView(mine) {
  const read = (event) => {
    mine.acknowledged = event.target.checked;
    changed();
  };
  const start = () => {
    mine.acknowledged = false;
    setDrive(true);
  };
  const driven = current(state.open.entries, "road_stopped");
  return html`${
      driven
        ? html`<p class="actions">
            <a class="button main" href="#/case/${state.open.id}/bay">Go on to the bay</a>
          </p>`
        : nothing
    }
    <section class="card" aria-label="Before you start">
    <h2 tabindex="-1" class="ask">${driven ? "Before you drive again" : "Before you start"}</h2>
    <ul>
      ${CAUTIONS.map((caution) => html`<li>${caution}</li>`)}
    </ul>
    <label class="check">
      <input
        type="checkbox"
        id="acknowledge"
        .checked=${Boolean(mine.acknowledged)}
        @change=${read}
      />
      <span>We have read this. I am the passenger.</span>
    </label>
    <button type="button" class="main" ?disabled=${!mine.acknowledged} @click=${start}>
      Start the drive
    </button>
  </section>`;
}

/** Suspects with which a drive is dangerous. */
function lookFirstView({ look_first: first, suspects }) {
  if (!first.length) return nothing;
  const nameOf = (cause) => suspects.find((suspect) => suspect.cause === cause)?.name;
  return html`<section class="caution" aria-label="In the bay first">
    <p><strong>Dangerous if it is there, so in the bay first</strong></p>
    <ul>
      ${first.map(
        ({ cause, check }) =>
          html`<li>
            ${nameOf(cause)}: ${state.catalogue.checks.get(check)?.what ?? "to be ruled out in the bay"}
          </li>`,
      )}
    </ul>
    <a href="#/case/${state.open.id}/bay">To the bay</a>
  </section>`;
}

const answered = (fact, value, words) => async () => {
  await enter({ by: BY, fact, value });
  say(words);
};

function driveView(road) {
  const stop = async () => {
    await enter({ by: BY, fact: "road_stopped", value: "yes" });
    setDrive(false);
  };
  const duplicated = current(state.open.entries, "duplicated");
  const done = async () => {
    if (!current(state.open.entries, "road_stopped"))
      await enter({ by: BY, fact: "road_stopped", value: "no" });
    setDrive(false);
    say("The drive is over.");
  };
  return html` ${tapView()}
    <section aria-label="The customer's vibration">
      <h2>Is it the customer's vibration?</h2>
      ${
        duplicated
          ? html`<p>
              Entered:
              <strong
                >${factOf("duplicated").answers.find((a) => a.id === duplicated.value)?.label}</strong
              >
            </p>`
          : nothing
      }
      <div class="row">
        <button type="button" @click=${answered("duplicated", "yes", "Entered: the same.")}>
          Yes, the same
        </button>
        <button
          type="button"
          @click=${answered("duplicated", "different", "Entered: a different one.")}
        >
          A different one
        </button>
        <button
          type="button"
          @click=${answered("duplicated", "no", "Entered: could not duplicate it. That is a result.")}
        >
          Could not duplicate
        </button>
      </div>
    </section>
    <section>
      <h2>Manoeuvres</h2>
      ${manoeuvresView(road, true)}
    </section>
    <section>
      <h2>Measured</h2>
      ${measuredView()}
    </section>
    <p class="actions">
      <button type="button" class="main" @click=${done}>The drive is over</button>
      <button type="button" @click=${stop}>Broke off: something unsafe</button>
    </p>`;
}

function planView(road) {
  return html`<section class="plan">
    <h2>Plan of the drive</h2>
    ${
      road.manoeuvres.length
        ? html`<p class="small quiet">About ${minutes(road.minutes)}, the way there included.</p>`
        : nothing
    }
    ${manoeuvresView(road, false)}
    <button type="button" class="plain no-print" @click=${() => print()}>Print the plan</button>
    <pre class="print-only">${road.text}</pre>
  </section>`;
}

const lines = later(() => import("../parts/lines_plot.js"));
const opening = html`<p class="quiet">Opening</p>`;

function linesPart(mine) {
  const toggle = (event) => {
    if (mine.lines === event.target.open) return;
    mine.lines = event.target.open;
    changed();
  };
  return html`<details class="lines-part" ?open=${mine.lines} @toggle=${toggle}>
    <summary>What turns how fast</summary>
    ${mine.lines ? (lines.wanted()?.linesView() ?? opening) : nothing}
  </details>`;
}

function stageView(road, mine) {
  const missing = missingOf(road);
  if (road.stops.length)
    return html`<h2 tabindex="-1" class="ask">It must not be driven</h2>
      ${road.stops.map(
        (stop) =>
          html`<div class="stop">
            <p><strong>${stop.reason}.</strong> ${stop.caution}</p>
          </div>`,
      )}
      <p class="actions">
        <a class="button main" href="#/case/${state.open.id}/bay">Go to the bay</a>
      </p>`;
  if (mine.on && !missing.length) return driveView(road);
  return html`${lookFirstView(road)} ${missing.length ? gateView(missing) : startView(mine)}`;
}

export function roadView() {
  setKeys(null);
  const mine = driveOf();
  const slot = answerOf("road", {});
  if (!slot.ok) {
    const words = html`<p class="quiet">${slot.problems?.[0].what ?? "Working out the drive"}</p>`;
    // A drive in progress goes on without an answer: what is felt is kept.
    return mine.on ? html`${words}${driveView(NO_PLAN)}` : words;
  }
  return html`
    <div class="no-print">${stageView(slot.ok, mine)}</div>
    ${mine.on || slot.ok.stops.length ? nothing : planView(slot.ok)}
    <div class="no-print">${feltBeside()} ${linesPart(mine)}</div>
  `;
}
