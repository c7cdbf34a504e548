// All cases, newest first: search, begin one, bring one in from a file.
import { importCase, newCase, refreshCases } from "../cases.js";
import { HOME_TAB } from "../device.js";
import { html, nothing } from "../lit.js";
import { moment } from "../number.js";
import { go, toCase } from "../router.js";
import { changed, memory, say, state } from "../state.js";
import { initialsField, placeField } from "./device.js";

const home = () => HOME_TAB[state.device.place] ?? "write_up";

function caseLine(line) {
  return html`<li>
    <a class="case-line" href=${toCase(line.id, home())}>
      <span class="name">${line.label || "No name yet"}</span>
      <span class="words">${line.words}</span>
      <span class="small quiet">
        ${moment(line.last_at)} ${line.closed ? "· closed" : ""}
        ${line.entries ? `· ${line.entries === 1 ? "1 entry" : `${line.entries} entries`}` : "· nothing entered yet"}
      </span>
    </a>
  </li>`;
}

async function readFile(file) {
  try {
    go(toCase(await importCase(await file.text()), "log"));
    say("The case was read from the file.");
  } catch {
    say(`${file.name} is not a case file.`);
  }
}

function search(event) {
  state.cases.search = event.target.value;
  refreshCases();
}

export function casesView() {
  const { lines } = state.cases;
  const mine = memory("cases", { over: false, unknown: !state.device.initials });
  const over = (value) => (event) => {
    event.preventDefault();
    if (mine.over !== value) {
      mine.over = value;
      changed();
    }
  };
  const drop = (event) => {
    over(false)(event);
    if (event.dataTransfer.files[0]) readFile(event.dataTransfer.files[0]);
  };
  return html`<div
    class="measure ${mine.over ? "over" : ""}"
    @dragover=${over(true)}
    @dragleave=${over(false)}
    @drop=${drop}
  >
    <h1 tabindex="-1">Cases</h1>
    ${
      !mine.unknown
        ? nothing
        : html`<section class="card" aria-label="Who works here">
            ${initialsField()} ${placeField()}
          </section>`
    }
    <p class="actions">
      <a class="button main" href="#/new">New case</a>
      <label class="button" for="file">Read a case file</label>
      <input
        id="file"
        class="unseen"
        type="file"
        accept=".json,application/json"
        @change=${(event) => event.target.files[0] && readFile(event.target.files[0])}
      />
    </p>
    <div class="field">
      <label for="search">Search</label>
      <input
        id="search"
        type="search"
        autocomplete="off"
        .value=${state.cases.search}
        @input=${search}
      />
    </div>
    ${
      lines.length
        ? html`<ul class="lines">
            ${lines.map(caseLine)}
          </ul>`
        : html`<p class="quiet">
            ${state.cases.search ? "No case has these words." : "No case yet."}
          </p>`
    }
  </div>`;
}

/** What the new case is called, and which visit came before. */
export function newCaseView() {
  const { earlier } = state.route;
  const before = state.cases.lines.find((line) => line.id === earlier);
  const begin = async (event) => {
    event.preventDefault();
    const label = event.target.elements.label.value.trim();
    const linked = event.target.elements.earlier?.value || earlier || "";
    const id = await newCase(label, linked);
    memory(`write_up ${id}`, { skipped: [], asked: null, sheet: false, focus: true });
    go(toCase(id, home()));
  };
  return html`<form class="measure" @submit=${begin}>
    <h1 tabindex="-1">New case</h1>
    <div class="field">
      <label for="label">Name of the case</label>
      <input
        id="label"
        name="label"
        type="text"
        autocomplete="off"
        required
        aria-describedby="label-help"
        .value=${before?.label ?? ""}
      />
      <p id="label-help" class="small quiet">
        So that you find it again: job number, plate, or car.
      </p>
    </div>
    ${
      state.cases.lines.length
        ? html`<div class="field">
            <label for="earlier">Earlier visit of the same car</label>
            <select id="earlier" name="earlier">
              <option value="">None</option>
              ${state.cases.lines.map(
                (line) =>
                  html`<option value=${line.id} ?selected=${line.id === earlier}>
                    ${line.label || line.id}, ${moment(line.last_at)}
                  </option>`,
              )}
            </select>
          </div>`
        : nothing
    }
    <p class="actions">
      <button class="main">Begin</button>
      <a class="button" href="#/">Back</a>
    </p>
  </form>`;
}
