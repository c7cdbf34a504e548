// A field for text of a recording: its label, the unit that a bare number gets.
import { html, nothing } from "../lit.js";
import { changed } from "../state.js";

export function textField({ id, label, help, unit, example }, texts, key) {
  const input = (event) => {
    texts[key] = event.target.value;
    changed();
  };
  return html`<div class="field">
    <label for=${id}>${label}</label>
    ${help ? html`<p id="${id}-help" class="small quiet">${help}</p>` : nothing}
    <span class="with-unit">
      <input
        id=${id}
        type="text"
        inputmode=${unit ? "decimal" : "text"}
        autocomplete="off"
        spellcheck="false"
        placeholder=${example ?? nothing}
        aria-describedby=${help ? `${id}-help` : nothing}
        .value=${texts[key] ?? ""}
        @input=${input}
      />
      ${unit ? html`<span class="unit">${unit}</span>` : nothing}
    </span>
  </div>`;
}
