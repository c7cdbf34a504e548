// One step of the plan: what it takes, how it is done, what is read, and what came of it.
import { enter } from "../case.js";
import { html, nothing } from "../lit.js";
import { minutes, percent } from "../number.js";
import { changed, memory, say, state } from "../state.js";
import { factView } from "./places.js";
import { photoButton } from "./photos.js";
import { recordingHere } from "./recording.js";
import { reckonHere } from "./reckon.js";

const ASKED = { write_up: "Ask the customer", road: "On the road", bay: "In the bay" };

/** What was put beside the readings goes with the first of them. */
const along = (slot) => {
  const out = {};
  if (slot.minutes > 0) out.minutes = slot.minutes;
  if (slot.photos?.length) out.photos = slot.photos;
  slot.minutes = 0;
  slot.photos = [];
  return out;
};

/** Enters with what was put beside the readings. */
const putWith =
  (slot) =>
  (first, ...rest) =>
    enter({ ...first, ...along(slot) }, ...rest);

function timeField(id, slot) {
  const input = (event) => {
    slot.minutes = Number(event.target.value) || 0;
    changed();
  };
  return html`<div class="field short">
    <label for="min-${id}">Minutes spent</label>
    <input
      id="min-${id}"
      type="number"
      min="0"
      max="600"
      inputmode="numeric"
      .value=${slot.minutes ? String(slot.minutes) : ""}
      @change=${input}
    />
    ${slot.minutes ? html`<p class="small quiet">Goes with the next reading you enter here.</p>` : nothing}
  </div>`;
}

/** The place that is looked at in a check. */
const placeIn = (check) =>
  check.learns.map((fact) => state.ui[`places ${state.open.id} ${fact}`]?.place).find(Boolean);

function checkView(check) {
  const slot = memory(`step ${state.open.id} ${check.id}`);
  const put = putWith(slot);
  const impossible = async () => {
    await put({ by: "bay", check: check.id, answer: "not_possible" });
    say("It will not be offered again in this round.");
  };
  return html`
    ${check.caution ? html`<p class="caution"><strong>Caution.</strong> ${check.caution}</p>` : nothing}
    ${
      check.moves !== "no"
        ? html`<p class="caution">
            ${check.moves === "yes" ? "This moves the car." : "This spins wheels."}
          </p>`
        : nothing
    }
    <p>${check.how}</p>
    <p class="small quiet">
      ${ASKED[check.by]}.
      ${check.setup ? `${check.setup}. ` : ""}${
        check.equipment.length ? `Needs: ${check.equipment.join(", ")}.` : ""
      }
    </p>
    ${check.by === "bay" ? reckonHere({ facts: check.learns, at: check.id, place: placeIn(check), put }) : nothing}
    ${recordingHere({ facts: check.learns, at: check.id, by: "bay", put })}
    ${check.learns.map((fact) => factView({ fact, by: "bay", enter: put }))}
    ${
      check.by === "bay"
        ? html`<div class="beside">
            ${photoButton(`photo-${check.id}`, slot)} ${timeField(check.id, slot)}
          </div>`
        : nothing
    }
    <p><button type="button" @click=${impossible}>Not possible here</button></p>
  `;
}

export function repairView(id, more = {}) {
  const repair = state.catalogue.repairs.get(id);
  if (!repair) return nothing;
  const slot = memory(`step ${state.open.id} ${id}`);
  const put = putWith(slot);
  const ended = (result) => put({ by: "bay", repair: id, result });
  const done = async () => {
    await ended("done");
    say("Repair entered. Now prove it: the same road, the same speed.");
  };
  return html`
    ${repair.caution ? html`<p class="caution"><strong>Caution.</strong> ${repair.caution}</p>` : nothing}
    ${more.chance ? html`<p>Right afterwards with ${percent(more.chance)}.</p>` : nothing}
    ${repair.proof ? html`<p><strong>Proof:</strong> ${repair.proof}</p>` : nothing}
    ${reckonHere({ repair: id, at: `${more.at ?? ""}${id}`, put })}
    <div class="beside">${photoButton(`photo-${id}`, slot)} ${timeField(id, slot)}</div>
    <p class="actions">
      <button type="button" class="main" @click=${done}>Repair is done</button>
      <button type="button" @click=${() => ended("not_done")}>Not done</button>
    </p>
  `;
}

export const stepKey = (step) => step.check ?? (step.repairs.join() || "hand_on");

export function stepView(step) {
  if (step.check) {
    const check = state.catalogue.checks.get(step.check);
    return check ? checkView(check) : nothing;
  }
  if (step.repairs.length)
    return step.repairs.map((id) => repairView(id, { chance: step.right_afterwards }));
  return html`<p>Write down what is known, print the report, and hand it on with the car.</p>`;
}

export const stepMinutes = (step) => minutes(step.minutes);
