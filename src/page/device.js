// Who works at this device and how it shows things; kept on the device.
import { keep, kept } from "./db.js";
import { changed, state } from "./state.js";

export const HOME_TAB = { counter: "write_up", car: "road", bay: "bay" };
export const PLACES = { counter: "Counter", car: "In the car", bay: "Bay" };

/** When the dark is meant, by what this device was told; "auto" stands in index.html too. */
const DARK = {
  auto: "screen and (prefers-color-scheme: dark)",
  dark: "screen",
  light: "not all",
};

function showTheme() {
  document.getElementById("dark").media = DARK[state.device.theme];
}

/** A sheet of the engine leaves its colours in the dark to the device: here they go by what was told. */
export function shade(sheet) {
  const wanted = DARK[state.device.theme];
  for (const rule of sheet?.cssRules ?? []) {
    const media = rule.media?.mediaText ?? "";
    const dark = media.includes("prefers-color-scheme") || Object.values(DARK).includes(media);
    if (dark && media !== wanted) rule.media.mediaText = wanted;
  }
}

export async function loadDevice() {
  Object.assign(state.device, await kept("who"));
  showTheme();
}

export async function setDevice(change) {
  Object.assign(state.device, change);
  showTheme();
  changed();
  await keep("who", { ...state.device });
}
