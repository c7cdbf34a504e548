// The log: every entry in order, who and when; taking back; the case as a file.
import { documentOf, rename, retract, throwAway } from "../case.js";
import { BY, entryWords, placeWords } from "../catalogue.js";
import { retractedIds } from "../entries.js";
import { setKeys } from "../keys.js";
import { html, nothing } from "../lit.js";
import { moment, short } from "../number.js";
import { photosFor } from "../photos.js";
import { sentences } from "../api.js";
import { memory, say, state } from "../state.js";
import { photosView } from "../parts/photos.js";
import { slotOf } from "../parts/question.js";

const TAB_OF = { write_up: "write_up", road: "road", bay: "bay" };

/** The readings that a value was worked out from, field by field. */
function readingsWords({ reckoned, ...given }) {
  if (!reckoned) return nothing;
  const lines = Object.entries(given).map(
    ([field, line]) => `${field.replaceAll("_", " ")} ${line}`,
  );
  return html`<span class="small quiet">from readings: ${lines.join(" · ")}</span>`;
}

function withWords(entry) {
  const { speed, rpm, by } = entry.with ?? {};
  const from = { gps: "by satellite", speedometer: "by the dash" }[by];
  return [speed && `at ${speed}`, rpm && `at ${rpm}`, from].filter(Boolean).join(", ");
}

function entryLine(entry, gone, words) {
  const { what, value } = entry.retracts ? words.get(entry.retracts) : entryWords(entry);
  const taken = gone.has(entry.id);
  const prefix = entry.retracts ? "Taken back: " : "";
  return html`<li class=${taken ? "gone" : ""}>
    <span class="small quiet">
      ${moment(entry.at)} · ${BY[entry.by] ?? entry.by}${entry.who ? ` · ${entry.who}` : ""}
    </span>
    <span>
      ${prefix}${what}${entry.place ? ` — ${placeWords(entry.place)}` : ""}
      <strong>${entry.with?.reckoned ? short(value) : value}</strong> ${withWords(entry)}
      ${readingsWords(entry.with ?? {})}
      ${entry.words ? html`<span class="small quiet">from the words “${entry.words}”</span>` : nothing}
      ${entry.minutes ? html`<span class="small quiet">${entry.minutes} min</span>` : nothing}
      ${taken ? html`<span class="small">(taken back)</span>` : nothing}
    </span>
    ${entry.photos ? photosView(entry.photos) : nothing}
    ${
      taken
        ? nothing
        : html`<button type="button" class="plain" @click=${() => retract(entry.id, entry.by)}>
            ${entry.retracts ? "Put it back" : "Take back"}<span class="unseen">: ${what}</span>
          </button>`
    }
  </li>`;
}

/** The question is asked again, with what was picked or typed. */
function fillAgain(id, { fact, place = null, value = [] }) {
  memory(`write_up ${id}`, { skipped: [], sheet: false }).asked = { fact, place };
  const values = [value].flat().map(String);
  Object.assign(slotOf({ fact, place }), { picked: values, typed: values.join(", ") });
  if (fact === "complaint_words") memory(`words ${id}`, { text: "", found: [] }).typed = values[0];
}

/** Entries the server did not take: why, and what may be done. */
export function refusedView() {
  const mine = state.sync.items.filter((item) => item.problems && item.case === state.open.id);
  if (!mine.length) return nothing;
  return html`<section class="card problem-card" aria-label="Refused">
    <h2>Refused</h2>
    <ul class="plain-list">
      ${mine.map((item) => {
        const { what, value } =
          item.kind === "entry" ? entryWords(item.body) : { what: `The ${item.kind}`, value: "" };
        const edit = async () => {
          fillAgain(item.case, item.body);
          await throwAway(item);
          location.hash = `#/case/${item.case}/${TAB_OF[item.body.by] ?? "log"}`;
        };
        return html`<li>
          <p>${what} <strong>${value}</strong></p>
          <p class="problem">${sentences(item.problems).join(". ")}</p>
          <p class="actions">
            ${
              item.kind === "entry" && item.body.fact
                ? html`<button type="button" @click=${edit}>Enter it anew</button>`
                : nothing
            }
            <button type="button" @click=${() => throwAway(item)}>Throw it away</button>
          </p>
        </li>`;
      })}
    </ul>
  </section>`;
}

async function download() {
  const { open } = state;
  const file = { ...documentOf(open), photos: await photosFor(open.entries) };
  if (Object.keys(file.photos).length === 0) delete file.photos;
  const url = URL.createObjectURL(
    new Blob([JSON.stringify(file, null, 2)], { type: "application/json" }),
  );
  const link = document.createElement("a");
  link.href = url;
  link.download = `${(open.head.label || open.id).replace(/[^\w-]+/g, "_")}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
  say("The case file is in your downloads.");
}

export function logView() {
  setKeys(null);
  const { entries, head, id } = state.open;
  const gone = retractedIds(entries);
  const words = new Map();
  const wordsOf = (entry) => {
    const target = entry.retracts && entries.find((one) => one.id === entry.retracts);
    return target ? wordsOf(target) : entryWords(entry);
  };
  for (const entry of entries) words.set(entry.id, wordsOf(entry));
  for (const entry of entries)
    if (entry.retracts && !words.has(entry.retracts)) words.set(entry.retracts, entryWords(entry));
  return html`
    <h2>Log</h2>
    <div class="field">
      <label for="name">Name of the case</label>
      <input
        id="name"
        type="text"
        autocomplete="off"
        .value=${head.label ?? ""}
        @change=${(event) => rename(event.target.value.trim())}
      />
    </div>
    ${
      head.earlier
        ? html`<p><a href="#/case/${head.earlier}/log">The earlier visit of this car</a></p>`
        : nothing
    }
    <p class="actions">
      <button type="button" @click=${download}>Save as a file</button>
      <a class="button" href="#/new/${id}">New visit of this car</a>
    </p>
    ${entries.length ? nothing : html`<p class="quiet">Nothing entered yet.</p>`}
    <ol class="log">
      ${entries.map((entry) => entryLine(entry, gone, words))}
    </ol>
  `;
}
