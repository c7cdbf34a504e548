// One fact: its question and answers, what learns it, what reads it, and its entries in a case.
import { BY, placeWords } from "../catalogue.js";
import { html, nothing } from "../lit.js";
import { minutes, moment, percent, short } from "../number.js";
import { inWords } from "../parts/ranking.js";
import { state } from "../state.js";
import { explained, ruleBase } from "./ask.js";
import { capital } from "../views/rules.js";
import * as w from "./words.js";

const PER = { case: "once", wheel: "at each wheel", axle: "at each axle", shaft: "at each shaft" };

const entryLine = (id, entry) => html`
  <strong>${inWords(id, entry.value)}</strong>
  ${entry.place ? placeWords(entry.place) : ""}
  <span class="small quiet">${moment(entry.at)} · ${BY[entry.by] ?? entry.by}</span>
  <span class="below"
    >${capital(entry.why)}${entry.because_of_entry ? ` (entry ${entry.because_of_entry})` : ""}</span
  >
`;

const inCase = (id, { entries }) =>
  html`<section class="card" aria-label="In this case">
    <h2>In this case</h2>
    ${
      entries.length
        ? html`<ul class="things">
            ${entries.map((entry) => html`<li>${entryLine(id, entry)}</li>`)}
          </ul>`
        : html`<p>Nothing is entered about it.</p>`
    }
  </section>`;

const stopView = (stop) =>
  stop
    ? html`<div class="stop">
        <p><strong>Stop at ${w.spaced(stop.answers)}: ${stop.reason}.</strong> ${stop.caution}</p>
        <p class="small">Lifted by the bay: ${w.thingLink("fact", stop.cleared_by)}</p>
      </div>`
    : nothing;

const answersTable = (answers) =>
  html`<table>
    <thead>
      <tr>
        <th scope="col">Answer</th>
        <th scope="col">How often when the cause is not listed</th>
      </tr>
    </thead>
    <tbody>
      ${answers.map(
        (one) =>
          html`<tr>
            <th scope="row">${one.label}</th>
            <td>${percent(one.base)}</td>
          </tr>`,
      )}
    </tbody>
  </table>`;

const limitsTable = (limits) =>
  html`<h2>Its limit</h2>
    <table>
      <thead>
        <tr>
          <th scope="col">Class</th>
          <th scope="col">Good to</th>
          <th scope="col">Bad from</th>
          <th scope="col">Origin</th>
        </tr>
      </thead>
      <tbody>
        ${limits.map(
          (one) =>
            html`<tr>
              <th scope="row">${w.spaced(one.class)}</th>
              <td>${short(one.good)}</td>
              <td>${short(one.bad)}</td>
              <td>${one.origin}</td>
            </tr>`,
        )}
      </tbody>
    </table>`;

function ruleLine({ rule, effects }) {
  const side = (name) => {
    const causes = effects.filter((effect) => effect.side === name);
    if (!causes.length) return nothing;
    const items = causes.map(
      (one) => html`${w.thingLink("cause", one.cause)} (${w.saidStrength(one.strength)})`,
    );
    return html`<span class="small quiet below">${name} ${w.named(items)}</span>`;
  };
  return html`${w.thingLink("rule", rule)} ${side("for")} ${side("against")}`;
}

export const edgeLine = ({ from, to, when }) =>
  html`${w.pointWords(from)} → ${w.pointWords(to)} <span class="small quiet below">${when}</span>`;

export function factView({ id }) {
  const slot = explained("fact", id);
  const { ok } = slot;
  if (!ok) return w.waiting(slot);
  const gates = ruleBase().ok?.gates;
  const about = state.catalogue.facts.get(id);
  return html`
    ${ok.in_case ? inCase(id, ok.in_case) : nothing} ${stopView(ok.stop)}
    ${w.facts([
      ["Asked at", ok.asked_at.map((by) => BY[by] ?? by).join(", ")],
      ["Read", PER[ok.per]],
      [
        "Lasts",
        ok.lasts === "vehicle" ? "with the vehicle, over repairs" : "until the next repair",
      ],
      ["How", about?.how],
      ["Asked unless this is false", ok.asked_if],
    ])}
    <h2>Answers</h2>
    ${ok.answers.length ? answersTable(ok.answers) : html`<p>Any text.</p>`}
    ${ok.limits.length ? limitsTable(ok.limits) : nothing}
    ${w.listed(
      "Checks that learn it",
      ok.checks.map(
        ({ check, minutes: time }) => html`${w.thingLink("check", check)}, ${minutes(time)}`,
      ),
    )}
    <p class="actions">
      ${ok.rules.length ? w.graphLink({ graph: "evidence", around: "fact", name: id }, "Draw what it says") : nothing}
      ${ok.checks.length || ok.edges.length || ok.gates.length ? w.graphLink({ graph: "path", around: "fact", name: id, near: 1 }, "Draw the way around it") : nothing}
    </p>
    ${w.listed("Rules that read it", ok.rules.map(ruleLine))}
    ${w.listed(
      "Computed for these causes, and not weighed by rules",
      ok.computed_for.map((one) => w.thingLink("cause", one.cause)),
    )}
    ${
      ok.computed
        ? html`<h2>Worked out with it</h2>
            <p>How fast each part turns, and what a frequency says of it.</p>`
        : nothing
    }
    ${w.listed(
      "Causes that it speaks of",
      ok.causes.map((cause) => w.thingLink("cause", cause)),
    )}
    ${w.listed(
      "Gates that ask it",
      ok.gates.map((gate) => gates?.get(gate) ?? w.spaced(gate)),
    )}
    ${w.listed("Where the way depends on it", ok.edges.map(edgeLine))}
    ${ok.rules.length ? w.strengthsView(ok.strengths) : nothing} ${w.standsIn(ok)}
  `;
}
