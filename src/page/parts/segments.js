// One of a few, side by side.
import { html } from "../lit.js";

export function segments(legend, options, chosen, set) {
  return html`<fieldset class="segments">
    <legend>${legend}</legend>
    ${Object.entries(options).map(
      ([id, label]) =>
        html`<button
          type="button"
          class="segment"
          aria-pressed=${chosen === id}
          @click=${() => set(id)}
        >
          ${label}
        </button>`,
    )}
  </fieldset>`;
}
