// One cause: how usual, what shows it, which rules speak of it, what looks like it, and its evidence in
// a case.
import { STATES } from "../catalogue.js";
import { html, nothing } from "../lit.js";
import { minutes, percent } from "../number.js";
import { inWords } from "../parts/ranking.js";
import { state } from "../state.js";
import { explained, ruleBase } from "./ask.js";
import * as w from "./words.js";

function repairWords(id) {
  const repair = state.catalogue.repairs.get(id);
  return repair ? `${repair.what}, ${minutes(repair.minutes)}` : null;
}

const cautions = (ok) => [
  w.caution(ok.caution),
  w.caution(state.catalogue.repairs.get(ok.repair)?.caution),
];

const ruleStates = (rules) =>
  rules.map(
    ({ rule, truth }, i) =>
      html`${i ? ", " : ""}${w.thingLink("rule", rule, w.spaced(rule))} ${w.TRUTHS[truth]}`,
  );

function inCase(found) {
  const rounds = new Set(found.evidence.map((one) => one.round)).size;
  const sum = found.evidence.reduce(
    (all, one) => all + (one.weight_decibans ?? -Infinity),
    found.prior_decibans,
  );
  const item = (one) =>
    w.weighed(
      one.weight_decibans,
      one.because,
      html`<span class="small quiet below"
        >${one.facts.map((fact, i) => html`${w.thingLink("fact", fact)} ${inWords(fact, one.values[i] ?? "")}. `)}
        ${rounds > 1 ? `Round ${one.round + 1}. ` : ""}${
          one.provider
            ? `Worked out by arithmetic (${one.provider})`
            : html`Rules: ${ruleStates(one.rules)}`
        }.</span
      >`,
    );
  const size = (one) => (one.weight_decibans === null ? Infinity : Math.abs(one.weight_decibans));
  const evidence = [...found.evidence].sort((one, two) => size(two) - size(one));
  return html`<section class="card" aria-label="In this case">
    <h2>In this case</h2>
    <p>
      <strong>${STATES[found.state] ?? found.state}, ${percent(found.probability)}</strong>; alone
      ${percent(found.alone)}.
    </p>
    ${w.weightList([
      w.weighed(found.prior_decibans, "How usual it is, before anything was known"),
      ...evidence.map(item),
    ])}
    ${w.weightList([
      w.weighed(Number.isFinite(sum) ? sum : null, "In all, against a cause that is not listed"),
    ])}
  </section>`;
}

function computedView({ facts, physics }) {
  if (!facts.length) return nothing;
  return html`<h2>Computed, and not weighed by rules</h2>
    <p>${facts.map((fact, i) => html`${i ? ", " : ""}${w.thingLink("fact", fact)}`)}</p>
    ${
      physics
        ? w.facts([
            ["Computed from", `${w.spaced(physics.kind)}, ${physics.kind_words}`],
            ["Size", physics.size_words],
            ["At the front axle", percent(physics.front_probability)],
            ["It shakes", physics.while_words],
            ["Origin", physics.origin],
          ])
        : nothing
    }`;
}

const sideView = (rules, side) =>
  rules.some((rule) => rule.side === side)
    ? html`<h2>Rules ${side} it, in decibans</h2>
        ${w.weightList(
          rules
            .filter((rule) => rule.side === side)
            .map((rule) =>
              w.weighed(
                rule.decibans,
                w.thingLink("rule", rule.rule, rule.because),
                html` <span class="small quiet">${w.saidStrength(rule.strength)}</span>`,
              ),
            ),
        )}`
    : nothing;

function answersTable({ fact: variable, alone, answers }) {
  const [fact, one] = variable.split(": ");
  const asked = state.catalogue.facts.get(fact);
  const label = (id) => asked?.answers.find((answer) => answer.id === id)?.label ?? w.spaced(id);
  return html`<table class="rates">
    <caption>
      ${w.thingLink("fact", fact)} ${one ? label(one) : ""} ${alone ? "" : "*"}
    </caption>
    <thead>
      <tr>
        <th scope="col">Answer</th>
        <th scope="col">With it</th>
        <th scope="col">Not listed</th>
      </tr>
    </thead>
    <tbody>
      ${answers.map(
        (answer) =>
          html`<tr>
            <th scope="row">${label(answer.answer)}</th>
            <td>${percent(answer.probability)}</td>
            <td>${percent(answer.not_listed)}</td>
          </tr>`,
      )}
    </tbody>
  </table>`;
}

export function causeView({ id }) {
  const slot = explained("cause", id);
  const { ok } = slot;
  if (!ok) return w.waiting(slot);
  ruleBase();
  const shakes = ok.shakes.map((one) => `${w.spaced(one.source)}, ${one.order}`);
  return html`
    ${ok.in_case ? inCase(ok.in_case) : nothing} ${cautions(ok)}
    ${w.facts([
      ["Family", state.catalogue.families.get(ok.family)?.name],
      [
        "How usual",
        `${ok.usual_per_thousand} in a thousand complaints; ${percent(ok.prior)} before anything is asked`,
      ],
      ["Shakes with", shakes.join("; ")],
      ["Needs", ok.needs.join("; ")],
      ["Repair", repairWords(ok.repair)],
      ["Proof", ok.proof],
      [
        "Never together with",
        ok.not_with.length
          ? ok.not_with.map((other, i) => html`${i ? ", " : ""}${w.thingLink("cause", other)}`)
          : null,
      ],
    ])}
    ${
      ok.confirmed_by.length
        ? w.listed(
            "Checks that can show it",
            ok.confirmed_by.map((check) => w.thingLink("check", check)),
          )
        : html`<h2>Checks that can show it</h2>
            <p>None: the repair and its proof decide.</p>`
    }
    <p class="actions">
      ${w.graphLink({ graph: "evidence", around: "cause", name: id }, "Draw its evidence")}
      ${ok.confirmed_by.length ? w.graphLink({ graph: "path", around: "cause", name: id, near: 1 }, "Draw the way to it") : nothing}
    </p>
    ${computedView(ok.computed)} ${sideView(ok.rules, "for")} ${sideView(ok.rules, "against")}
    ${w.listed(
      "Hardest to tell from it",
      ok.rivals.map(
        (rival) =>
          html`${w.thingLink("cause", rival.cause)}
            <span class="small quiet"
              >at most ${(100 * rival.mistaken_at_most).toFixed(1)} of a hundred</span
            >`,
      ),
      html`<p class="small quiet">
        Of a hundred vehicles, half of them with each, so many are taken for the other when
        everything is answered.
      </p>`,
    )}
    <details>
      <summary>How it makes people answer</summary>
      <p class="small quiet">
        Beside how they answer when the cause is not listed. Of facts weighed together (*) with the
        others left open.
      </p>
      ${ok.answers.map(answersTable)}
    </details>
    ${w.strengthsView(ok.strengths)} ${w.standsIn(ok)}
  `;
}
