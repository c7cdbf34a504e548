// The way to recordings of the vibration: a file, or this device's own sensor. Their files come when
// it is first opened (recording/room.js).
import { later } from "../later.js";
import { html, nothing } from "../lit.js";
import { changed, memory, state } from "../state.js";

const FACT = "measured_frequency";
const files = later(() => import("../recording/room.js"), "/recording/recording.css");

const opening = () =>
  files.lacking()
    ? html`<p class="quiet">Without the network this cannot be opened here.</p>`
    : html`<p class="quiet">Opening</p>`;

/** Where one of `facts` is what a recording tells. `at` tells places apart; `put` enters, `by` whom. */
export function recordingHere({ facts = [FACT], at, by, put }) {
  if (!facts.includes(FACT)) return nothing;
  const mine = memory(`recording here ${state.open.id} ${at}`, { open: false });
  const toggle = () => {
    mine.open = !mine.open;
    changed();
  };
  const id = `recording-${at}`;
  return html`<div class="recording-here">
    <button
      type="button"
      aria-expanded=${mine.open}
      aria-controls=${mine.open ? id : nothing}
      @click=${toggle}
    >
      Record the vibration, or read a recording
    </button>
    ${
      mine.open
        ? html`<section id=${id} class="inset" aria-label="Recording of the vibration">
            ${files.wanted()?.roomView({ at, by, put }) ?? opening()}
          </section>`
        : nothing
    }
  </div>`;
}
