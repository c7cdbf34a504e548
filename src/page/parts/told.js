// What the whole page is told above the work: a new version of it, and what became of the rule base.
import { html, nothing } from "../lit.js";
import { state } from "../state.js";

/** Whether the server works with another rule base than `digest`. */
export const hasOtherRules = (digest) =>
  Boolean(digest && state.rules && state.rules.rules_digest !== digest);

const line = (words, button = nothing) =>
  html`<p class="told no-print"><span>${words}</span>${button}</p>`;

const loadNow = () =>
  html`<button type="button" class="plain" @click=${() => location.reload()}>Load it now</button>`;

/** In use on the server is always a sound one. */
function ofRules() {
  const [wrong] = state.rules?.rules_problems ?? [];
  if (wrong)
    return line(html`The rule base saved on the server is not sound; the one before stays in use.
      ${wrong.where ? `${wrong.where}: ` : ""}${wrong.what}. <code>perrev rules check</code> tells
      all that is wrong.`);
  if (!hasOtherRules(state.about?.rules_digest)) return nothing;
  return line(
    `The server works with another rule base now. This page has all of it once it is loaded again;
    enter first what you are typing.`,
    loadNow(),
  );
}

export const toldView = () =>
  html`${state.newVersion ? line("A new version is ready.", loadNow()) : nothing} ${ofRules()}`;

/** What has become of the rule base, in one line; empty while it is the one of this page. */
export function newsOfRules() {
  if (state.rules?.rules_problems.length) return "The rule base on the server is not sound";
  return hasOtherRules(state.about?.rules_digest) ? "The server works with another rule base now" : "";
}
