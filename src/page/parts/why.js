// Why a question is asked: what each answer would do to the first three causes.
import { answerOf } from "../case.js";
import { html, nothing } from "../lit.js";
import { percent } from "../number.js";
import { changed, memory, state } from "../state.js";

function table({ first, outcomes, note }) {
  if (!outcomes.length) return html`<p class="small">${note}</p>`;
  const name = (id) => state.catalogue.causes.get(id)?.name ?? id;
  return html`<div class="scroll" tabindex="0" role="region" aria-label="What each answer would do">
    <table>
      <thead>
        <tr>
          <th scope="col">Answer</th>
          <th scope="col">Chance</th>
          ${first.map((id) => html`<th scope="col">${name(id)}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${outcomes.map(
          (outcome) =>
            html`<tr>
              <th scope="row">${outcome.label}</th>
              <td>${percent(outcome.probability)}</td>
              ${outcome.causes_after.map((after) => html`<td>${percent(after)}</td>`)}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

export function whyView({ fact }) {
  const mine = memory("why", { open: false });
  const toggle = (event) => {
    if (mine.open === event.target.open) return;
    mine.open = event.target.open;
    changed();
  };
  const slot = mine.open ? answerOf("effect", { fact }) : {};
  return html`<details class="why" ?open=${mine.open} @toggle=${toggle}>
    <summary>Why this question</summary>
    ${slot.ok ? table(slot.ok) : mine.open ? html`<p class="small">Working it out</p>` : nothing}
  </details>`;
}
