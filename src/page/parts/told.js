// What the whole page is told above the work: a new version of it, and what became of the rule base.
import { html, nothing } from "../lit.js";
import { state } from "../state.js";

/** Whether the server works with another rule base than `digest`. */
export const hasOtherRules = (digest) =>
  Boolean(digest && state.rules && state.rules.rules_digest !== digest);

const loadNow = () =>
  html`<button type="button" class="plain" @click=${() => location.reload()}>Load it now</button>`;

/** In use on the server is always a sound one. */
function ofRules() {
  const [wrong] = state.rules?.rules_problems ?? [];
  if (wrong)
    return html`<p class="told no-print">
      The rule base was changed on the server and is not sound, so the one before stays in use.
      <span class="place">${wrong.where ? `${wrong.where}: ` : ""}${wrong.what}.</span> All that is
      wrong is told by <code>perrev rules check</code>.
    </p>`;
  if (!hasOtherRules(state.about?.rules_digest)) return nothing;
  return html`<p class="told no-print">
    The server works with another rule base now. This page has all of it once it is loaded again;
    enter first what you are typing. ${loadNow()}
  </p>`;
}

export const toldView = () =>
  html`${
    state.newVersion
      ? html`<p class="told no-print">A new version is ready. ${loadNow()}</p>`
      : nothing
  }
  ${ofRules()}`;

/** The same for the ear, shortly. */
export function toldSpoken() {
  if (state.rules?.rules_problems.length) return "The rule base on the server is not sound";
  if (hasOtherRules(state.about?.rules_digest)) return "The server works with another rule base now";
  return state.newVersion ? "A new version is ready" : "";
}
