// One compiled engine with one rule base in it, wherever WebAssembly runs: a worker, node. Nothing
// here knows of a page.

const FAILED = JSON.stringify({ problems: [{ what: "the engine stopped at this request" }] });

const encoder = new TextEncoder();
const decoder = new TextDecoder();

/** A block of the engine's memory with these bytes, while `use` runs. */
function withBytes(wasm, bytes, use) {
  const at = wasm._malloc(bytes.length + 1);
  if (at === 0) throw new RangeError("no memory");
  // HEAPU8 is another array after every growth: never kept in a variable.
  wasm.HEAPU8.set(bytes, at);
  wasm.HEAPU8[at + bytes.length] = 0;
  try {
    return use(at);
  } finally {
    wasm._free(at);
  }
}

function textAt(wasm, at) {
  return decoder.decode(wasm.HEAPU8.subarray(at, wasm.HEAPU8.indexOf(0, at)));
}

/**
 * Starts the engine. `createModule` is the default export of engine.mjs, `wasmBinary` the bytes of
 * engine.wasm, `rules` those of /api/rules/{digest}. Rejects where the rules cannot be read.
 */
export async function startEngine({ createModule, wasmBinary, rules }) {
  let wasm = null;
  let holds = false; // a recording

  async function start() {
    const started = await createModule({ wasmBinary });
    const loaded = JSON.parse(
      withBytes(started, rules, (at) => textAt(started, started._perrev_load(at, rules.length))),
    );
    if (!loaded.ok) throw new Error(loaded.problems[0].what);
    wasm = started;
    return loaded.ok.rules_digest;
  }

  function died() {
    wasm = null;
    holds = false;
  }

  const withText = (text, use) => withBytes(wasm, encoder.encode(text), use);
  /** Steps of recording_room.h: what is given with each, and the text of its answer. */
  const steps = {
    open: ({ request }) => withText(request, (at) => wasm._perrev_recording_open(at)),
    take: ({ bytes, ofSpeeds }) =>
      withBytes(wasm, bytes, (at) =>
        wasm._perrev_recording_take(at, bytes.length, ofSpeeds ? 1 : 0),
      ),
    finish: () => wasm._perrev_recording_finish(),
    answer: ({ request }) => withText(request, (at) => wasm._perrev_recording_answer(at)),
  };

  const digest = await start();
  return {
    digest,
    /** What the engine holds of the machine's memory, in bytes; it never shrinks. */
    memory: () => (wasm ? wasm.HEAPU8.length : 0),
    /** JSON text in, JSON text out. After a trap the memory is not to be trusted: a new start. */
    async answer(name, requestText) {
      if (!wasm) await start();
      try {
        return withText(name, (nameAt) =>
          withText(requestText, (requestAt) => textAt(wasm, wasm._perrev_answer(nameAt, requestAt))),
        );
      } catch {
        died();
        return FAILED;
      }
    },
    /**
     * One step of reading a recording: "open" and "answer" with {request}, JSON text; "take" with
     * {bytes, ofSpeeds}; "finish". JSON text out; null where the recording was lost by a trap. One is
     * held at a time.
     */
    async recording(step, given) {
      if (!wasm) await start();
      if (step !== "open" && !holds) return null;
      try {
        const text = textAt(wasm, steps[step](given));
        if (step === "open") holds = true;
        return text;
      } catch {
        died();
        return null;
      }
    },
  };
}
