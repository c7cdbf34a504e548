// The reckonings of the bay: which there are, and where each opens.
import { answer } from "../ask.js";
import { enter } from "../case.js";
import { html, nothing } from "../lit.js";
import { changed, memory, state, units } from "../state.js";
import { formView } from "./form.js";

const WORDS = "Work it out from readings";

/** {tools, problems}: asked once in these units, and again when the network or the engine is back. */
function forms() {
  const now = units();
  const slot = memory(`reckonings ${now}`, { tools: null, asked: -1 });
  if (!slot.tools && slot.asked !== state.tries) {
    slot.asked = state.tries;
    answer("bay_tools", { units: now }).then(({ ok, problems }) => {
      Object.assign(slot, { tools: ok?.tools ?? slot.tools, problems });
      changed();
    });
  }
  return slot;
}

/** A button that opens the form under it. */
function opener(form, words, around, mine, asLine = false) {
  const open = mine.tool === form.id;
  const id = `reckon-${around.at}-${form.id}`;
  const toggle = () => {
    mine.tool = open ? null : form.id;
    changed();
  };
  return html`<button
      type="button"
      class=${asLine ? "sheet-line" : ""}
      aria-expanded=${open}
      aria-controls=${open ? id : nothing}
      @click=${toggle}
    >
      ${words}
    </button>
    ${
      open
        ? html`<section id=${id} class="inset" aria-label=${form.name}>
            ${formView(form, around)}
          </section>`
        : nothing
    }`;
}

export function here({ facts = [], repair = null, ...around }) {
  const fits = (form) =>
    form.repairs.includes(repair) || form.facts.some((fact) => facts.includes(fact));
  const mine = memory(`reckon at ${state.open.id} ${around.at}`, { tool: null });
  const found = forms().tools?.filter(fits) ?? [];
  return found.map(
    (form) =>
      html`<div class="reckon-here">
        ${opener(form, found.length > 1 ? `${WORDS}: ${form.name}` : WORDS, { ...around, facts }, mine)}
      </div>`,
  );
}

export function list() {
  const { tools, problems } = forms();
  const mine = memory(`reckon at ${state.open.id} list`, { tool: null, open: false });
  const toggle = (event) => {
    if (mine.open === event.target.open) return;
    mine.open = event.target.open;
    changed();
  };
  const line = (form) =>
    html`<span>${form.name}<span class="small quiet">${form.what}</span></span>`;
  return html`<details class="reckonings" ?open=${mine.open} @toggle=${toggle}>
    <summary>Work something out from readings</summary>
    ${
      mine.open && tools
        ? html`<ul class="sheet">
            ${tools.map(
              (form) =>
                html`<li>${opener(form, line(form), { at: "list", put: enter }, mine, true)}</li>`,
            )}
          </ul>`
        : nothing
    }
    ${mine.open && !tools ? html`<p class="quiet">${problems?.[0].what ?? "Working it out"}</p>` : nothing}
  </details>`;
}
