// The engine in a worker, so that a page never waits for it. Messages in: {start: {rulesUrl} or
// {bytes}} once, then {name, request} or {recording: step, ...given}; out: {ready: digest} or
// {failed: words}, then {text}. Requests are answered in the order in which they came.
import createModule from "./engine.mjs";
import { startEngine } from "./engine-instance.js";

async function fetched(url) {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`${url}: ${response.status}`);
  return new Uint8Array(await response.arrayBuffer());
}

let engine = null;

async function start({ rulesUrl, bytes }) {
  try {
    const [wasmBinary, rules] = await Promise.all([
      fetched(new URL("./engine.wasm", import.meta.url)),
      bytes ?? fetched(rulesUrl),
    ]);
    engine = await startEngine({ createModule, wasmBinary, rules });
    postMessage({ ready: engine.digest });
  } catch (error) {
    postMessage({ failed: String(error) });
  }
}

let before = Promise.resolve();

onmessage = ({ data }) => {
  before = before.then(async () => {
    if (data.start) return start(data.start);
    const text = data.recording
      ? engine.recording(data.recording, data)
      : engine.answer(data.name, data.request);
    postMessage({ text: await text });
  });
};
