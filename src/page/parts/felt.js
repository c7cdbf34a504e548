// Where causes are shown, how they would be felt over speed can be opened. What draws it comes only
// then.
import { answerOf } from "../case.js";
import { valueWords } from "../catalogue.js";
import { current } from "../entries.js";
import { html, nothing } from "../lit.js";
import { changed, memory, state } from "../state.js";
import { NARROW, frameWidth } from "./frame_width.js";
import { segments } from "./segments.js";

const OFFERED = 3;
let curve = null;

function curveOf(cause, where, width) {
  if (curve) return curve.curveView(cause, where, width);
  import("./felt_curve.js").then((module) => {
    curve = module;
    changed();
  });
  return html`<p class="quiet">Working it out</p>`;
}

function opened(name, summary, content) {
  const mine = memory(`felt ${state.open.id} ${name}`, { open: false });
  const toggle = (event) => {
    if (mine.open === event.target.open) return;
    mine.open = event.target.open;
    changed();
  };
  return html`<details class="felt" ?open=${mine.open} @toggle=${toggle}>
    <summary>${summary}</summary>
    ${mine.open ? content(mine) : nothing}
  </details>`;
}

const isComputed = (cause) => state.catalogue.causes.get(cause)?.felt_computed;

/** Under one cause of the ranking. */
export function feltUnder(cause) {
  if (!isComputed(cause)) return nothing;
  return opened(cause, "How it would be felt", () => curveOf(cause, "ranking", NARROW));
}

/** Beside the speeds that were entered: the first causes of the ranking that can be worked out. */
export function feltBeside() {
  const { ok } = answerOf("diagnosis", {});
  const causes = (ok?.ranking ?? [])
    .filter(({ cause, state: stands }) => stands !== "excluded" && isComputed(cause))
    .slice(0, OFFERED);
  if (!causes.length) return nothing;
  const worst = current(state.open.entries, "worst_speed");
  const summary = worst && worst.answer !== "unsure"
    ? `Worst at ${valueWords(worst)}: how the likely causes are felt`
    : "How the likely causes are felt over speed";
  return opened("beside", summary, (mine) => {
    const chosen = causes.some(({ cause }) => cause === mine.cause) ? mine.cause : causes[0].cause;
    const names = Object.fromEntries(causes.map(({ cause, name }) => [cause, name]));
    const choose = (cause) => {
      mine.cause = cause;
      changed();
    };
    return html`${segments("Cause", names, chosen, choose)}
    ${curveOf(chosen, "beside", frameWidth())}`;
  });
}
