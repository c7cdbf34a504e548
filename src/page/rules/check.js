// One check: what it takes, learns and shows, where it stands on the way, and what holds it back in a
// case.
import { BY } from "../catalogue.js";
import { html, nothing } from "../lit.js";
import { minutes } from "../number.js";
import { state } from "../state.js";
import { explained, ruleBase } from "./ask.js";
import * as w from "./words.js";

const MOVES = {
  no: "the vehicle stands still",
  yes: "the vehicle moves",
  wheels_spin: "wheels spin",
};

const standing = (now) =>
  now.not_possible
    ? "It was entered as not possible."
    : now.done
      ? "It is done: each fact it learns is answered."
      : now.offered
        ? "It is offered now."
        : "It is not offered now.";

function holdsBack(now) {
  const { ok } = ruleBase();
  const out = [];
  if (now.stopped) out.push("A stop holds: nothing moves.");
  for (const gate of now.gates)
    if (!gate.passed)
      out.push(
        html`The gate “${ok?.gates.get(gate.gate) ?? gate.gate}” is not passed; not clear:
        ${gate.missing.map((fact, i) => html`${i ? ", " : ""}${w.thingLink("fact", fact)}`)}`,
      );
  for (const thing of now.lacking) out.push(`The shop lacks: ${thing}`);
  if (now.applies === "no") out.push("It does not apply to this vehicle or complaint.");
  for (const edge of now.edges_in)
    out.push(
      html`After ${w.pointWords(edge.from)}: ${edge.left ? "done" : "not done"}; its condition:
      ${w.TRUTHS[edge.truth]}`,
    );
  return out;
}

const inCase = (now) =>
  html`<section class="card" aria-label="In this case">
    <h2>In this case</h2>
    <p><strong>${standing(now)}</strong></p>
    ${
      now.done || now.offered || now.not_possible
        ? nothing
        : html`<ul class="things">
            ${holdsBack(now).map((line) => html`<li>${line}</li>`)}
          </ul>`
    }
  </section>`;

const edges = (list, end) =>
  list.map(
    (edge) => html`${w.pointWords(edge[end])} <span class="small quiet below">${edge.when}</span>`,
  );

export function checkView({ id }) {
  const slot = explained("check", id);
  const { ok } = slot;
  if (!ok) return w.waiting(slot);
  const gates = ruleBase().ok?.gates;
  const about = state.catalogue.checks.get(id);
  const setup = ok.setup_minutes > 0 ? `, ${minutes(ok.setup_minutes)} from nothing` : "";
  return html`
    ${ok.in_case ? inCase(ok.in_case) : nothing} ${w.caution(ok.caution)}
    <p>${ok.how}</p>
    ${w.facts([
      ["By", BY[ok.by] ?? ok.by],
      ["Takes", `${minutes(ok.minutes)}; ${MOVES[ok.moves]}`],
      ["Set-up", about?.setup ? `${about.setup}${setup}` : null],
      ["Needs", about?.equipment.join(", ")],
      [
        "Only behind the gates",
        ok.gates.map((gate) => gates?.get(gate) ?? w.spaced(gate)).join("; "),
      ],
    ])}
    ${w.listed(
      "It learns",
      ok.learns.map((fact) => w.thingLink("fact", fact)),
    )}
    ${w.listed(
      "It can show",
      ok.confirms.map(
        ({ cause, when }) =>
          html`${w.thingLink("cause", cause)} <span class="small quiet below">${when}</span>`,
      ),
    )}
    <p class="actions">
      ${w.graphLink({ graph: "path", around: "check", name: id, near: 1 }, "Draw the way around it")}
      ${w.graphLink({ graph: "evidence", around: "check", name: id }, "Draw what it tells")}
    </p>
    ${w.listed("It may be offered after", edges(ok.edges_in, "from"))}
    ${w.listed("It leads to", edges(ok.edges_out, "to"))} ${w.standsIn(ok)}
  `;
}
