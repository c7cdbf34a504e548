// One question with its answers: large buttons, a field, or free words.
//
// q: {fact, place, by, enter(body), skip?, back?, extra?}. What is picked and typed is kept in
// memory by fact and place until it is entered.
import { answersOf, factOf, placeWords } from "../catalogue.js";
import { html, keyed, nothing } from "../lit.js";
import { changed, memory, state } from "../state.js";
import { check, valueOf } from "../typed.js";
import { segments } from "./segments.js";
import { readingView } from "./reading.js";

export const slotOf = ({ fact, place }) =>
  memory(`question ${fact} ${place ?? ""}`, { picked: [], typed: "", reading: null, number: "" });

const clear = (slot) =>
  Object.assign(slot, { picked: [], typed: "", reading: null, number: "", speedBy: "", where: "" });

function enterValue(q, what, more = {}) {
  const fact = factOf(q.fact);
  const slot = slotOf(q);
  const with_ = slot.speedBy ? { with: { by: slot.speedBy } } : {};
  const at = fact.kind === "text" ? slot.where : q.place;
  const place = at ? { place: at } : {};
  q.enter({ by: q.by, fact: q.fact, ...place, ...what, ...with_, ...more });
  clear(slot);
}

export function confirm(q) {
  const fact = factOf(q.fact);
  const slot = slotOf(q);
  if (fact.kind === "several") return enterValue(q, { value: slot.picked });
  if (fact.kind === "number" || fact.kind === "text") {
    if (slot.typed.trim() && (slot.reading?.offline || !slot.reading?.problems))
      enterValue(q, { value: valueOf(slot, fact) });
    return undefined;
  }
  if (slot.picked.length) enterValue(q, { value: slot.picked[0] });
  return undefined;
}

export const unsure = (q) => enterValue(q, { answer: "unsure" });

export function pick(q, id) {
  const slot = slotOf(q);
  const several = factOf(q.fact).kind === "several";
  const has = slot.picked.includes(id);
  if (several) slot.picked = has ? slot.picked.filter((one) => one !== id) : [...slot.picked, id];
  else slot.picked = [id];
  changed();
}

/** Keys for a question; see keys.js. Numbers above 9 are typed figure by figure. */
export function keysOf(q) {
  const fact = factOf(q.fact);
  const slot = slotOf(q);
  const all = answersOf(fact);
  const choose = (n) => all[n - 1] && pick(q, all[n - 1].id);
  const pickTyped = () => {
    choose(Number(slot.number));
    slot.number = "";
    changed();
  };
  return {
    digit: (n) => {
      if (all.length <= 9) return choose(n);
      slot.number += n;
      if (Number(slot.number) * 10 > all.length) pickTyped();
      return changed();
    },
    space: () => (slot.number ? pickTyped() : false),
    enter: () => (slot.number ? pickTyped() : confirm(q)),
    unsure: () => unsure(q),
    skip: q.skip,
    back: q.back,
  };
}

function choices(q, fact, slot, withKeys) {
  const several = fact.kind === "several";
  const tap = (id) => {
    if (several) return pick(q, id);
    return enterValue(q, { value: id });
  };
  const all = answersOf(fact);
  return html`<ol class="choices ${all.length > 8 ? "many" : ""}">
      ${all.map(
        ({ id, label }, i) =>
          html`<li>
            <button
              type="button"
              class="choice"
              aria-pressed=${slot.picked.includes(id)}
              @click=${() => tap(id)}
            >
              ${withKeys ? html`<span class="digit" aria-hidden="true">${i + 1}</span>` : nothing}
              <span>${label}</span>
              ${several ? html`<span class="tick">${slot.picked.includes(id) ? "yes" : ""}</span>` : nothing}
            </button>
          </li>`,
      )}
    </ol>
    ${slot.number ? html`<p class="small">Number ${slot.number}: blank or Enter takes it</p>` : nothing}`;
}

const SPEED_FROM = { "": "Not said", speedometer: "Dash", gps: "Satellite" };
const TIRE_AT = { "": "All four", front_axle: "Front", rear_axle: "Rear" };

function oneOf(legend, options, slot, key) {
  const set = (id) => {
    slot[key] = id;
    changed();
  };
  return segments(legend, options, slot[key] ?? "", set);
}

function field(q, fact, slot) {
  const id = `field-${q.fact}-${q.place ?? ""}`;
  const input = (event) => check(slot, fact, q.place, event.target.value);
  const key = (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    confirm(q);
  };
  const number = fact.kind === "number";
  return html`<div class="field">
      <label for=${id}
        >${number ? (fact.dimension === "speed" ? "Speed" : "Value") : "As moulded on it"}${q.place && number ? `, ${placeWords(q.place)}` : ""}</label
      >
      <span class="with-unit">
        <input
          id=${id}
          type="text"
          inputmode=${number ? "decimal" : "text"}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck="false"
          aria-describedby="${id}-read"
          .value=${slot.typed}
          @input=${input}
          @keydown=${key}
        />
        ${number ? html`<span class="unit">${fact.unit ?? ""}</span>` : nothing}
      </span>
    </div>
    <div id="${id}-read" class="read" aria-live="polite">${readingView(slot.reading)}</div>
    ${fact.dimension === "speed" ? oneOf("Read from", SPEED_FROM, slot, "speedBy") : nothing}
    ${fact.kind === "text" && fact.per === "wheel" ? oneOf("Fitted", TIRE_AT, slot, "where") : nothing}`;
}

const needsConfirm = (fact) =>
  fact.kind === "several" || fact.kind === "number" || fact.kind === "text";

function confirmWords(fact, slot) {
  if (fact.kind !== "several") return "Enter";
  return slot.picked.length ? `Enter ${slot.picked.length}` : "None of these";
}

/** `main`: the one question of the screen, which has the keys. */
export function questionView(q, main = true) {
  const fact = factOf(q.fact);
  if (!fact) return nothing;
  const slot = slotOf(q);
  const place = q.place && fact.kind !== "text" ? ` — ${placeWords(q.place)}` : "";
  const title = `${fact.ask}${place}`;
  const answers = fact.kind === "number" || fact.kind === "text" ? field : choices;
  return keyed(
    `${q.fact} ${q.place}`,
    html`<div class="question" data-fact=${q.fact}>
      ${
        main
          ? html`<h2 tabindex="-1" class="ask">${title}</h2>`
          : html`<h3 tabindex="-1" class="ask">${title}</h3>`
      }
      ${fact.how ? html`<p class="how">${fact.how}</p>` : nothing}
      ${answers(q, fact, slot, main && state.device.keys)} ${q.extra ?? nothing}
      <div class="actions">
        ${
          needsConfirm(fact)
            ? html`<button type="button" class="main" @click=${() => confirm(q)}>
                ${confirmWords(fact, slot)}
              </button>`
            : nothing
        }
        <button type="button" @click=${() => unsure(q)}>Unsure</button>
        ${q.skip ? html`<button type="button" @click=${q.skip}>Skip</button>` : nothing}
        ${q.back ? html`<button type="button" @click=${q.back}>Back</button>` : nothing}
      </div>
    </div>`,
  );
}
