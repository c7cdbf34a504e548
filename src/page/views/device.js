// Who am I, and how this device shows things.
import { loadCatalogue } from "../catalogue.js";
import { PLACES, setDevice } from "../device.js";
import { html } from "../lit.js";
import { segments } from "../parts/segments.js";
import { state, units } from "../state.js";

export function initialsField() {
  const set = (event) => setDevice({ initials: event.target.value.trim().slice(0, 8) });
  return html`<div class="field">
    <label for="initials">Your initials</label>
    <input
      id="initials"
      type="text"
      maxlength="8"
      autocomplete="off"
      spellcheck="false"
      .value=${state.device.initials}
      @change=${set}
    />
  </div>`;
}

export const placeField = () =>
  segments("This device is", PLACES, state.device.place, (place) => setDevice({ place }));

export function deviceView() {
  const { device } = state;
  const setUnits = async (id) => {
    await setDevice({ units: id });
    await loadCatalogue();
  };
  return html`<div class="measure">
    <h1 tabindex="-1">This device</h1>
    ${initialsField()} ${placeField()}
    ${segments("Units", { us: "mph, inches, lb", metric: "km/h, mm, N" }, units(), setUnits)}
    ${segments(
      "Light or dark",
      { auto: "As the device", light: "Light", dark: "Dark" },
      device.theme,
      (theme) => setDevice({ theme }),
    )}
    ${segments("Keys at a question", { on: "On", off: "Off" }, device.keys ? "on" : "off", (id) =>
      setDevice({ keys: id === "on" }),
    )}
    <p class="small quiet">
      Figures choose an answer, Enter enters it; u is unsure, s skip, b back.
    </p>
    <p><a class="button main" href="#/">Done</a></p>
    <p class="small quiet"><a href="/lib/LICENSES.txt">Licences of the libraries used</a></p>
  </div>`;
}
