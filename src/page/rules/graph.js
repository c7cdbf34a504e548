// The two graphs of the rule base: the way through the checks, and causes with their evidence; whole or
// around one thing, and as a case stands on them.
import { html, nothing } from "../lit.js";
import { go, toRules } from "../router.js";
import { changed, memory, state } from "../state.js";
import { drawing } from "./ask.js";
import { canvasOf, fit, zoom } from "./canvas.js";
import { drawn, readPicture, wayTo } from "./graph_svg.js";
import { nameOf } from "./words.js";

let read = { svg: null, picture: null };

function pictureOf(svg) {
  if (read.svg !== svg) read = { svg, picture: readPicture(svg) };
  return read.picture;
}

const move = (route) => go(toRules({ kind: "graph", ...route }, state.route.case));

function aroundField(route) {
  const { families, causes } = state.catalogue;
  const now = route.around ? `${route.around} ${route.name}` : "";
  const choose = (event) => {
    const [around, name] = event.target.value.split(" ");
    move({ graph: route.graph, around, name, near: route.near });
  };
  const option = (kind, { id, name }) =>
    html`<option value="${kind} ${id}" ?selected=${now === `${kind} ${id}`}>${name}</option>`;
  return html`<div class="field">
    <label for="around">What is drawn</label>
    <select id="around" @change=${choose}>
      <option value="" ?selected=${!now}>
        ${route.graph === "path" ? "The whole way" : "All causes by family"}
      </option>
      ${
        ["fact", "check"].includes(route.around)
          ? html`<option value=${now} selected>${nameOf(route.around, route.name)}</option>`
          : nothing
      }
      <optgroup label="Families">
        ${[...families.values()].map((one) => option("family", one))}
      </optgroup>
      <optgroup label="Causes">${[...causes.values()].map((one) => option("cause", one))}</optgroup>
    </select>
  </div>`;
}

function nearField(route) {
  if (route.graph !== "path" || !route.around) return nothing;
  const choose = (event) => move({ ...route, near: event.target.value });
  return html`<div class="field">
    <label for="near">How far around</label>
    <select id="near" @change=${choose}>
      ${[1, 2, 3, 4].map(
        (steps) =>
          html`<option value=${steps} ?selected=${steps === route.near}>
            ${steps === 1 ? "1 step" : `${steps} steps`}
          </option>`,
      )}
    </select>
  </div>`;
}

const isId = (line) => line.startsWith("[") && line.endsWith("]");
const wordsOf = (part) => part.words.filter((line) => !isId(line)).join(" ");

function listView({ vertices, edges }) {
  const byName = new Map(vertices.map((one) => [one.title, one]));
  const named = (one) => {
    const way = wayTo(one, state.route.case);
    return way ? html`<a href=${way}>${wordsOf(one)}</a>` : wordsOf(one);
  };
  return html`<ul class="things">
    ${vertices.map((one) => {
      const onward = edges.filter((edge) => edge.from === one.title);
      return html`<li>
        ${named(one)}
        ${onward.map((edge) => {
          const to = byName.get(edge.to);
          return html`<span class="small below"
            >→ ${to ? wordsOf(to) : edge.to}
            ${edge.words.length ? html`<span class="quiet">(${wordsOf(edge)})</span>` : nothing}</span
          >`;
        })}
      </li>`;
    })}
  </ul>`;
}

/** For keys: the shapes of a large graph are many. */
const pastIt = () => document.querySelector(".as-list > summary").focus();

function pictureView(route, { ok, old }) {
  const picture = pictureOf(ok.svg);
  if (!picture) return html`<p class="problem">The drawing cannot be read.</p>`;
  const mine = memory("graph", { list: false });
  const about = route.around ? `${route.around} ${route.name}` : "";
  const toggle = (event) => {
    mine.list = event.target.open;
    changed();
  };
  return html`
    ${old ? html`<p class="small">As it was drawn before: there is no network now.</p>` : nothing}
    <p>${ok.title}</p>
    <p class="actions graph-buttons">
      <button type="button" aria-label="Larger" @click=${() => zoom(true)}>+</button>
      <button type="button" aria-label="Smaller" @click=${() => zoom(false)}>−</button>
      <button type="button" @click=${fit}>Whole</button>
    </p>
    <button type="button" class="unseen past" @click=${pastIt}>Past the shapes</button>
    ${canvasOf(`${ok.svg} ${state.route.case ?? ""}`, () => drawn(picture, state.route.case), about)}
    <p class="small">${ok.legend.join(" ")}</p>
    <p id="canvas-keys" class="small quiet">
      Drag to move it, wheel or two fingers for its size; by keys: arrows, +, − and 0 for the whole.
      A shape leads to its page. ${ok.shapes} shapes, ${ok.lines} lines.
    </p>
    <details class="as-list" ?open=${mine.list} @toggle=${toggle}>
      <summary>The same as a list</summary>
      ${mine.list ? listView(picture) : nothing}
    </details>
  `;
}

export function graphView(route) {
  const slot = drawing(route);
  return html`
    <div class="row">${aroundField(route)} ${nearField(route)}</div>
    ${
      slot.ok
        ? pictureView(route, slot)
        : slot.offline
          ? html`<p>
              This drawing needs the shop's computer, and there is no network. Under
              <a href=${toRules({}, route.case)}>Look up</a> the same stands in words.
            </p>`
          : html`<p class="quiet">
              ${slot.problems ? slot.problems.map(({ what }) => what).join(". ") : "Drawing it"}
            </p>`
    }
  `;
}
