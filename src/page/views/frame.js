// The frame of a case: its name, the tabs, what is saved, and the ranking beside the work.
import { html, nothing } from "../lit.js";
import { TABS, toCase } from "../router.js";
import { changed, memory, state } from "../state.js";
import { percent } from "../number.js";
import { diagnosis, rankingView } from "../parts/ranking.js";
import { bayView } from "./bay.js";
import { logView, refusedView } from "./log.js";
import { reportView } from "./report.js";
import { roadView } from "./road.js";
import { writeUpView } from "./write_up.js";

const VIEWS = {
  write_up: writeUpView,
  road: roadView,
  bay: bayView,
  report: reportView,
  log: logView,
};

const SHORT = { ...TABS, road: "Road" };

function tabs({ id, tab }) {
  return html`<nav class="tabs no-print" aria-label="Parts of the case">
    ${Object.keys(TABS).map(
      (name) =>
        html`<a href=${toCase(id, name)} aria-current=${name === tab ? "page" : nothing}>
          <span class="long">${TABS[name]}</span
          ><span class="abbreviated" aria-hidden="true">${SHORT[name]}</span>
        </a>`,
    )}
  </nav>`;
}

/** On a phone: the first three at the foot; a tap brings all of it up. */
function foot() {
  const { ok, problems } = diagnosis();
  const mine = memory("foot", { open: false });
  const show = (open) => {
    mine.open = open;
    changed();
  };
  const bringUp = () => {
    show(true);
    document.getElementById("ranking-up").showModal();
  };
  const close = () => document.getElementById("ranking-up").close();
  return html`<button type="button" class="foot" @click=${bringUp}>
      <span class="unseen">Ranking, opens:</span>
      ${ok?.stops.length ? html`<span class="foot-stop">Stop: ${ok.stops[0].reason}</span>` : nothing}
      ${
        ok
          ? ok.ranking
              .slice(0, 3)
              .map(
                (cause) =>
                  html`<span class="line"
                    ><span class="name">${cause.name}</span>
                    <span class="percent">${percent(cause.probability)}</span></span
                  >`,
              )
          : html`<span>${problems?.[0].what ?? "Working it out"}</span>`
      }
    </button>
    <dialog id="ranking-up" class="sheet-up" aria-label="Ranking" @close=${() => show(false)}>
      <div class="sheet-body">
        <button type="button" class="main" @click=${close}>Close</button>
        <h2>What is probable</h2>
        ${mine.open ? rankingView() : nothing}
      </div>
    </dialog>`;
}

function missingView(why) {
  return html`<div class="measure">
    <h1 tabindex="-1">Case</h1>
    <p>
      ${
        why === "offline"
          ? "This case is not on this device yet, and there is no network."
          : "There is no such case."
      }
    </p>
    <p><a class="button" href="#/">All cases</a></p>
  </div>`;
}

export function caseView() {
  const { open, route } = state;
  if (!open || open.id !== route.id) return html`<p class="quiet">Opening</p>`;
  if (open.missing) return missingView(open.missing);
  if (!open.version || !state.catalogue)
    return html`<div class="measure">
      <h1 tabindex="-1">Case</h1>
      <p class="quiet">
        ${state.sync.online ? "Opening" : "The rule base is not on this device yet, and there is no network."}
      </p>
    </div>`;
  return html`<div class="case">
    <div class="case-head no-print">
      <h1 tabindex="-1">
        ${open.head.label || "No name yet"}<span class="unseen">, ${TABS[route.tab]}</span>
      </h1>
      ${tabs(route)}
    </div>
    <div class="work">${refusedView()}${VIEWS[route.tab]()}</div>
    <aside class="beside-work no-print" aria-label="Ranking">
      <h2>What is probable</h2>
      ${rankingView()}
    </aside>
    <div class="foot-room no-print">${foot()}</div>
  </div>`;
}
