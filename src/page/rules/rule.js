// One rule: its condition, what it speaks for and against, and how it reads in a case.
import { html, nothing } from "../lit.js";
import { explained } from "./ask.js";
import * as w from "./words.js";

const SAID = {
  yes: "It spoke: its condition holds.",
  no: "It did not speak: its condition does not hold, which counts the other way.",
  unknown: "It is undecided: not all that it asks is known.",
};

const groupWeight = ({ cause, counts, group_decibans, with_rules }) => {
  const name = w.thingLink("cause", cause);
  if (!counts) return html`<span class="weight">–</span><span>${name}: counts no more</span>`;
  const others = with_rules.length
    ? html`<span class="small quiet"
        >together with
        ${with_rules.map((id, i) => html`${i ? ", " : ""}${w.thingLink("rule", id, w.spaced(id))}`)}</span
      >`
    : "";
  return w.weighed(group_decibans, name, " ", others);
};

function inCase({ places, rounds }) {
  return html`<section class="card" aria-label="In this case">
    <h2>In this case</h2>
    ${rounds.map(
      (round) => html`
        ${rounds.length > 1 ? html`<h3>Round ${round.round + 1}</h3>` : nothing}
        <p><strong>${SAID[round.truth]}</strong></p>
        ${w.conditionView(round.parts, places)}
        <p>What its group of facts came to, in decibans:</p>
        ${w.weightList(round.weights.map(groupWeight))}
      `,
    )}
  </section>`;
}

export function ruleView({ id }) {
  const slot = explained("rule", id);
  const { ok } = slot;
  if (!ok) return w.waiting(slot);
  return html`
    <p class="lead">${ok.because}</p>
    ${
      ok.in_case
        ? inCase(ok.in_case)
        : html`<h2>When</h2>
            ${w.conditionView(ok.when)}`
    }
    <h2>It speaks, in decibans</h2>
    ${w.weightList(
      ok.effects.map((effect) =>
        w.weighed(
          effect.decibans,
          w.thingLink("cause", effect.cause, effect.name),
          html` <span class="small quiet">${w.strengthWords(effect)}</span>`,
        ),
      ),
    )}
    ${w.listed(
      "Weighed together with",
      ok.same_group.map(
        ({ rule, causes }) =>
          html`${w.thingLink("rule", rule)}
            <span class="small quiet"
              >about ${w.named(causes.map((cause) => w.nameOf("cause", cause)))}</span
            >`,
      ),
      html`<p class="small quiet">
        They share facts about a cause, so their facts are one group.
      </p>`,
    )}
    ${w.facts([["Origin", ok.origin]])} ${w.strengthsView(ok.strengths)} ${w.standsIn(ok)}
  `;
}
