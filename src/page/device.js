// Who works at this device and how it shows things; kept on the device.
import { keep, kept } from "./db.js";
import { changed, state } from "./state.js";

export const HOME_TAB = { counter: "write_up", car: "road", bay: "bay" };
export const PLACES = { counter: "Counter", car: "In the car", bay: "Bay" };

export function showTheme() {
  document.documentElement.dataset.theme = state.device.theme;
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
