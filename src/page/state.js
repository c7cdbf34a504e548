// The one plain object that the page shows, and who is told when it changes.

export const state = {
  route: { view: "cases" },
  device: { initials: "", place: "counter", units: null, theme: "auto", keys: true },
  about: null,
  catalogue: null, // see catalogue.js
  cases: { lines: [], search: "", local: [] },
  open: null, // see case.js
  sync: { waiting: 0, refused: 0, online: true, signIn: false, items: [] },
  tries: 0, // how often the engine or the network came back
  newVersion: false,
  rules: null, // {rules_digest, rules_problems} as the server told last; `about` has what was loaded
  notice: "", // said once, politely
  ui: {}, // what a view remembers while the page is open, by view
};

const listeners = new Set();
let told = false;

export const subscribe = (listener) => listeners.add(listener);

/** Tells that the state has changed; listeners run once, after what runs now. */
export function changed() {
  if (told) return;
  told = true;
  queueMicrotask(() => {
    told = false;
    for (const listener of listeners) listener(state);
  });
}

/** "us" or "metric": what was chosen on this device, else what the program was started with. */
export const units = () => state.device.units ?? state.about?.units ?? "us";

/** What a view remembers, made at first use. */
export const memory = (name, initial = {}) => (state.ui[name] ??= { ...initial });

export function say(text) {
  state.notice = text;
  changed();
}
