// What a recording shows: in sentences, as pictures, how severe it is, and into the case.
import { sameEntry, thisRound } from "../entries.js";
import { html, nothing } from "../lit.js";
import { pictureOf } from "../parts/picture.js";
import { changed, say, state } from "../state.js";
import { answerFor, earlierThan, isAfterRepair } from "./slot.js";

const NARROW = 230; // px of the frame, on a phone
const WIDE = 460;

const broad = () => document.documentElement.clientWidth >= 700;

const FIRST = 4; // vibrations that are said at once

const PICTURES = ["spectrum", "map", "tracks"];

const paragraphs = (sentences) => sentences.map((sentence) => html`<p>${sentence}</p>`);

function picturesView(svg, at) {
  return PICTURES.filter((name) => svg[name]).map(
    (name) =>
      html`<div class="recorded-picture">${pictureOf(svg[name], `recording ${at} ${name}`)}</div>`,
  );
}

function beforeChoice(slot, at, earlier) {
  if (earlier.length < 2) return nothing;
  const choose = (event) => {
    slot.before = event.target.value;
    changed();
  };
  return html`<div class="field">
    <label for="${at}-before">Held against</label>
    <select id="${at}-before" @change=${choose}>
      ${earlier.map(
        ({ name, title }) =>
          html`<option value=${name} ?selected=${name === slot.before}>${title}</option>`,
      )}
    </select>
  </div>`;
}

function changeView(slot, change, at) {
  const earlier = earlierThan(slot);
  const before = earlier.find(({ name }) => name === slot.before);
  if (!before) return nothing;
  return html`<h4>
      Against ${before.title}${isAfterRepair(slot, before) ? ", before the repair" : ""}
    </h4>
    ${beforeChoice(slot, at, earlier)}
    ${
      change
        ? paragraphs(change.sentences)
        : html`<p class="quiet">The two cannot be compared: one is too short, or is read no more.</p>`
    }`;
}

function severityView(slot, { severity, change }, at) {
  if (!severity.sentences.length) return nothing;
  return html`<section aria-label="How severe it is">
    <h3>How severe it is</h3>
    ${paragraphs(severity.sentences)} ${changeView(slot, change, at)}
  </section>`;
}

const ROLES = { time: "time", x: "ahead", y: "left", z: "up", speed: "speed", engine: "engine speed" };

function findingWords({ what, line, times, mended }) {
  const where = line ? ` First in line ${line}.` : "";
  const often = times > 1 ? ` ${times} times.` : "";
  return `${mended ? "Mended: " : ""}${what}${where}${often}`;
}

/** What was read, and what was wrong with it. */
function readingView({ seconds, rate_hz: rate, columns, findings, clocks }, slot) {
  const count = findings.length + (clocks ? 1 : 0);
  const told = count === 1 ? "1 remark" : `${count} remarks`;
  const toggle = (event) => {
    slot.showsReading = event.target.open;
  };
  return html`<details ?open=${Boolean(slot.showsReading)} @toggle=${toggle}>
    <summary>
      Read: ${Math.round(seconds)} s at ${Math.round(rate)} readings a second${count ? `, ${told}` : ""}
    </summary>
    <ul>
      ${columns.map(
        ({ role, name, unit }) => html`<li>${ROLES[role]}: ${name}${unit ? ` (${unit})` : ""}</li>`,
      )}
    </ul>
    ${clocks ? html`<p>${clocks.what}</p>` : nothing}
    ${findings.map((finding) => html`<p>${findingWords(finding)}</p>`)}
  </details>`;
}

const partsOf = ({ fact, value, answer, with: given }) => ({ fact, value, answer, with: given });

const isIn = (body) =>
  thisRound(state.open.entries).some((entry) => sameEntry(partsOf(entry), partsOf(body)));

function keepView({ entries }, { put, by }) {
  if (entries.every(isIn)) return html`<p class="known">It is in the case.</p>`;
  const keep = async () => {
    await put(...entries.filter((body) => !isIn(body)).map((body) => ({ by, ...body })));
    say("The recording is in the case.");
  };
  return html`<p class="actions">
    <button type="button" class="main keep" @click=${keep}>Put it into the case</button>
  </p>`;
}

/** Sentences: one for each vibration, the strongest first, then what else is to be said. */
function sentencesView({ sentences, vibrations }, slot) {
  const [first, ...others] = sentences.slice(0, Math.max(1, vibrations.length));
  const folded = others.slice(FIRST - 1);
  const toggle = (event) => {
    slot.showsAll = event.target.open;
  };
  return html`<p class="understood">${first}</p>
    ${paragraphs(others.slice(0, FIRST - 1))}
    ${
      folded.length
        ? html`<details ?open=${Boolean(slot.showsAll)} @toggle=${toggle}>
            <summary>${folded.length === 1 ? "1 weaker one" : `${folded.length} weaker ones`}</summary>
            ${paragraphs(folded)}
          </details>`
        : nothing
    }
    ${paragraphs(sentences.slice(1 + others.length))}`;
}

/** around: {at, put, by}. */
export function resultView(slot, around) {
  const got = answerFor(slot, broad() ? WIDE : NARROW);
  if (!got) return html`<p class="quiet">Working it out</p>`;
  if (!got.ok)
    return got.problems.map(
      ({ what, right }) => html`<p class="problem">${what}${right ? `; needed: ${right}` : ""}</p>`,
    );
  const { ok } = got;
  return html`<div class="recorded">
    ${sentencesView(ok, slot)} ${keepView(ok, around)} ${picturesView(ok.svg, around.at)}
    ${severityView(slot, ok, around.at)}
    ${ok.cautions.map((caution) => html`<p class="caution">${caution}</p>`)}
    ${readingView(slot.reading, slot)}
  </div>`;
}
