// In the bay: what to do next and why, its readings, what is shown, repair, proof, closing.
import { answerOf, enter, retract } from "../case.js";
import { standing } from "../entries.js";
import { setKeys } from "../keys.js";
import { html, nothing } from "../lit.js";
import { minutes } from "../number.js";
import { changed, memory, say, state } from "../state.js";
import { diagnosis } from "../parts/ranking.js";
import { factView } from "../parts/places.js";
import { reckonList } from "../parts/reckon.js";
import { repairView, stepKey, stepMinutes, stepView } from "../parts/step.js";

function verdictView({ ranking, repairs, end }) {
  const shown = ranking.filter((cause) => cause.state === "confirmed");
  if (end === "referral")
    return html`<p class="card">
      What can be known here does not decide. Hand it on with what is known.
    </p>`;
  if (!shown.length) return nothing;
  return shown.map((cause, i) => {
    const mine = repairs.filter((repair) => repair.cause === cause.cause);
    return html`<section class="card" aria-label="Shown">
      <p class="small quiet">Shown in the bay</p>
      <h3>${cause.name}</h3>
      ${mine.map(
        (repair) =>
          html`<p><strong>${repair.what}</strong>, ${minutes(repair.minutes)}</p>
            ${
              repair.still_open.length
                ? html`<p class="small">
                    Still open beside it:
                    ${repair.still_open
                      .map(({ cause: id }) => state.catalogue.causes.get(id)?.name ?? id)
                      .join(", ")}.
                  </p>`
                : nothing
            }
            <details ?open=${i === 0}>
              <summary>The repair</summary>
              ${repairView(repair.repair, { at: "shown-" })}
            </details>`,
      )}
    </section>`;
  });
}

/** Why the first step stands first, against the next best. */
function whyFirst([first, second], total) {
  if (!second) return `About ${minutes(total)} to a car that is right.`;
  const saved = second.expected_minutes - first.expected_minutes;
  const better =
    saved < 1
      ? "as good as the next one"
      : `${minutes(saved)} less to expect than with the next one`;
  return `About ${minutes(total)} to a car that is right; ${better}.`;
}

/** What must be found sound before the car moves again. */
function liftView(stops) {
  if (!stops.length) return nothing;
  const facts = [...new Set(stops.map((stop) => stop.cleared_by))];
  return html`<section aria-label="Stops">
    <h2>It must not be driven</h2>
    ${stops.map(
      (stop) =>
        html`<div class="stop">
          <p><strong>${stop.reason}.</strong> ${stop.caution}</p>
        </div>`,
    )}
    <p>Lifted when it has been looked at, or put right, and is found sound:</p>
    ${facts.map((fact) => factView({ fact, by: "bay", enter }))}
  </section>`;
}

function stepsView(plan) {
  const mine = memory(`bay ${state.open.id}`, { open: undefined });
  const steps = plan.next;
  const key = mine.open === undefined && steps.length ? stepKey(steps[0]) : mine.open;
  // A step that is being worked at stays on the screen when the plan moves on.
  const held = key && !steps.some((step) => stepKey(step) === key) ? heldStep(key) : null;
  const all = held ? [held, ...steps] : steps;
  const choose = (step) => () => {
    mine.open = key === stepKey(step) ? null : stepKey(step);
    changed();
  };
  return html`<ol class="steps">
    ${all.map((step) => {
      const open = key === stepKey(step);
      return html`<li>
        <h3 class="step-head">
          <button type="button" class="sheet-line" aria-expanded=${open} @click=${choose(step)}>
            <span>${step.what}</span
            ><span class="value">${step === held ? "open" : stepMinutes(step)}</span>
          </button>
        </h3>
        ${step === steps[0] ? html`<p class="small quiet">${whyFirst(steps, plan.expected_minutes)}</p>` : nothing}
        ${open ? html`<div class="inset">${stepView(step)}</div>` : nothing}
      </li>`;
    })}
  </ol>`;
}

function heldStep(key) {
  const check = state.catalogue.checks.get(key);
  return check ? { what: check.what, check: key, repairs: [], minutes: check.minutes } : null;
}

function otherCheck() {
  const mine = memory(`bay ${state.open.id}`, { open: undefined });
  const bay = [...state.catalogue.checks.values()].filter((check) => check.by === "bay");
  const choose = (event) => {
    mine.open = event.target.value || undefined;
    event.target.value = "";
    changed();
  };
  return html`<div class="field">
    <label for="other-check">Something else was measured or seen</label>
    <select id="other-check" @change=${choose}>
      <option value="">Choose a check</option>
      ${bay.map((check) => html`<option value=${check.id}>${check.what}</option>`)}
    </select>
  </div>`;
}

function closingView({ ranking, closed }) {
  const entries = standing(state.open.entries);
  const closing = entries.findLast((entry) => entry.closes);
  if (closing)
    return html`<section class="card" aria-label="Closed">
      <h2>The case is closed</h2>
      <p>
        ${closed.map((id) => state.catalogue.causes.get(id)?.name ?? id).join(", ") || "No fault found"}.
        ${closing.proof}
      </p>
      <button type="button" @click=${() => retract(closing.id, "bay")}>Open it again</button>
    </section>`;
  const done = entries.filter((entry) => entry.repair && entry.result === "done");
  const cured = done.flatMap((entry) => state.catalogue.repairs.get(entry.repair)?.cures ?? []);
  const shown = ranking.filter((cause) => cause.state === "confirmed").map((cause) => cause.cause);
  const offered = [
    ...new Set([...shown, ...cured, ...ranking.slice(0, 3).map((cause) => cause.cause)]),
  ];
  const close = async (event) => {
    event.preventDefault();
    const { proof } = event.target.elements;
    const boxes = [...event.target.querySelectorAll("input[type=checkbox]:checked")];
    await enter({ by: "bay", closes: boxes.map((box) => box.value), proof: proof.value.trim() });
    say("The case is closed.");
  };
  return html`<details class="closing">
    <summary>Close the case</summary>
    <form @submit=${close}>
      <fieldset>
        <legend>What it was</legend>
        ${offered.map(
          (id) =>
            html`<label class="check">
              <input type="checkbox" value=${id} ?checked=${shown.includes(id)} />
              <span>${state.catalogue.causes.get(id)?.name ?? id}</span>
            </label>`,
        )}
      </fieldset>
      <div class="field">
        <label for="proof">How it was proved</label>
        <input
          id="proof"
          name="proof"
          type="text"
          autocomplete="off"
          required
          aria-describedby="proof-help"
        />
        <p id="proof-help" class="small quiet">Road, speed, and how warm the tires were.</p>
      </div>
      <button class="main">Close the case</button>
    </form>
  </details>`;
}

export function bayView() {
  setKeys(null);
  const plan = answerOf("plan", {});
  const { ok: found } = diagnosis();
  if (!plan.ok || !found)
    return html`<p class="quiet">${plan.problems?.[0].what ?? "Working out what to do next"}</p>
      ${plan.problems ? html`${stepsView({ next: [] })}${otherCheck()}${reckonList()}` : nothing}`;
  return html`
    ${verdictView(found)} ${liftView(found.stops)}
    <h2 tabindex="-1" class="ask">${plan.ok.proved ? "Proved right" : "What to do next"}</h2>
    ${plan.ok.proved ? html`<p>It was tried after the repair and nothing is wrong any more.</p>` : nothing}
    ${stepsView(plan.ok)} ${otherCheck()} ${reckonList()} ${closingView(found)}
  `;
}
