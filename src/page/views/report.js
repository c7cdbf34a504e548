// The pages for the customer and for the technician, as the engine writes them: fragments with
// classes only, which have a sheet of their own.
import { answerOf, bringPhotos } from "../case.js";
import { shade } from "../device.js";
import { setKeys } from "../keys.js";
import { html } from "../lit.js";
import { changed, memory, state } from "../state.js";
import { segments } from "../parts/segments.js";

const host = document.createElement("div");
host.className = "paper scroll";
host.tabIndex = 0;
host.role = "region";
host.ariaLabel = "Report";
const link = Object.assign(document.createElement("link"), {
  rel: "stylesheet",
  href: "/report.css",
  onload: changed,
});
let shown = "";

/** Scripts and styles never come along, whatever a fragment holds. */
function show(text) {
  if (text === shown) return;
  shown = text;
  if (!link.isConnected) document.head.append(link);
  const page = new DOMParser().parseFromString(text, "text/html");
  for (const gone of page.querySelectorAll("script, style, link, meta, base, title")) gone.remove();
  host.replaceChildren(...page.body.childNodes);
}

export function reportView() {
  setKeys(null);
  const mine = memory(`report ${state.open.id}`, { for: "customer", photos: 0, estimate: "" });
  const set = (change) => {
    Object.assign(mine, change);
    changed();
  };
  const estimate = mine.estimate.trim() ? { estimate: mine.estimate.trim() } : {};
  const photos = mine.for === "technician";
  const count = state.open.entries.reduce((sum, entry) => sum + (entry.photos?.length ?? 0), 0);
  if (photos && count !== mine.photos) {
    mine.photos = count;
    bringPhotos();
  }
  const slot = answerOf("report", { for: mine.for, photos, ...estimate });
  if (slot.ok) show(slot.ok.html);
  shade(link.sheet);
  return html`
    <div class="no-print">
      <h2>Report</h2>
      ${segments(
        "For",
        { customer: "The customer", technician: "The technician" },
        mine.for,
        (id) => set({ for: id }),
      )}
      <div class="field">
        <label for="estimate">Estimate</label>
        <input
          id="estimate"
          type="text"
          autocomplete="off"
          .value=${mine.estimate}
          @change=${(event) => set({ estimate: event.target.value })}
        />
      </div>
      <p class="actions">
        <button type="button" class="main" @click=${() => print()} ?disabled=${!slot.ok}>
          Print
        </button>
      </p>
    </div>
    ${slot.ok ? host : html`<p class="quiet">${slot.problems?.[0].what ?? "Writing it"}</p>`}
  `;
}
