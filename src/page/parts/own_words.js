// The complaint in the customer's words, and what these words may mean: each proposal is confirmed
// or refused by a person; nothing is entered without it.
import { enter } from "../case.js";
import { factOf, valueWords } from "../catalogue.js";
import { answer } from "../ask.js";
import { current, valueWith } from "../entries.js";
import { setKeys } from "../keys.js";
import { html, keyed, nothing } from "../lit.js";
import { changed, memory, state, units } from "../state.js";

const memoryOf = () => memory(`words ${state.open.id}`, { typed: "", text: "", found: [] });

/** Proposals wait for a yes or a no. */
export const hasProposals = () => memoryOf().found.length > 0;

async function propose(text) {
  const mine = memoryOf();
  const { ok } = await answer("phrases", { text, units: units() });
  mine.found = (ok?.found ?? []).filter((item) => factOf(item.fact));
  mine.text = text;
  changed();
}

/** The sentence, with the words marked that made the proposal. */
function saidView(text, words) {
  const begin = text.toLowerCase().indexOf(words.toLowerCase());
  if (begin < 0) return html`<p class="said">${text}</p>`;
  const end = begin + words.length;
  return html`<p class="said">
    ${text.slice(0, begin)}<mark>${text.slice(begin, end)}</mark>${text.slice(end)}
  </p>`;
}

function proposalView({ by, done }, mine) {
  const [proposal] = mine.found;
  const fact = factOf(proposal.fact);
  const next = () => {
    mine.found = mine.found.slice(1);
    if (!hasProposals()) done();
    changed();
  };
  const yes = async () => {
    next();
    const before = current(state.open.entries, fact.id, proposal.place, fact.lasts);
    const place = proposal.place ? { place: proposal.place } : {};
    const several = fact.kind === "several";
    const value = several ? valueWith(proposal.value, before) : [proposal.value].flat()[0];
    await enter({ by, fact: fact.id, ...place, value, words: proposal.words });
  };
  setKeys({ digit: (n) => (n === 1 ? yes() : n === 2 ? next() : false), enter: yes, skip: next });
  const view = html`<h2 tabindex="-1" class="ask">Did the customer mean this?</h2>
    ${saidView(mine.text, proposal.words)}
    <p>${fact.ask} <strong>${valueWords(proposal)}</strong></p>
    <ol class="choices">
      <li>
        <button type="button" class="choice" @click=${yes}>
          <span class="digit" aria-hidden="true">1</span><span>Yes, enter it</span>
        </button>
      </li>
      <li>
        <button type="button" class="choice" @click=${next}>
          <span class="digit" aria-hidden="true">2</span><span>No</span>
        </button>
      </li>
    </ol>
    <p class="small quiet">
      ${mine.found.length === 1 ? "The last one" : `${mine.found.length - 1} more`}
    </p>`;
  return keyed(mine.found.length, view);
}

export function wordsView(q) {
  const mine = memoryOf();
  if (mine.found.length) return proposalView(q, mine);
  setKeys(null);
  const save = async (event) => {
    event.preventDefault();
    const text = mine.typed.trim();
    if (!text) return;
    mine.typed = "";
    // Asked before the next question is, but the entry does not wait for it.
    const proposed = propose(text);
    await q.enter({ by: q.by, fact: "complaint_words", value: text });
    await proposed;
  };
  const input = (event) => {
    mine.typed = event.target.value;
  };
  const fact = factOf(q.fact);
  return html`<form class="question" @submit=${save}>
    <h2 tabindex="-1" class="ask"><label for="words">${fact.ask}</label></h2>
    <p class="how">${fact.how}</p>
    <textarea id="words" rows="4" .value=${mine.typed} @input=${input}></textarea>
    <div class="actions">
      <button class="main">Enter</button>
      ${q.skip ? html`<button type="button" @click=${q.skip}>Skip</button>` : nothing}
    </div>
  </form>`;
}
