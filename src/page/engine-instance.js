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

  async function start() {
    const started = await createModule({ wasmBinary });
    const loaded = JSON.parse(
      withBytes(started, rules, (at) => textAt(started, started._perrev_load(at, rules.length))),
    );
    if (!loaded.ok) throw new Error(loaded.problems[0].what);
    wasm = started;
    return loaded.ok.rules_digest;
  }

  const digest = await start();
  return {
    digest,
    /** What the engine holds of the machine's memory, in bytes; it never shrinks. */
    memory: () => (wasm ? wasm.HEAPU8.length : 0),
    /** JSON text in, JSON text out. After a trap the memory is not to be trusted: a new start. */
    async answer(name, requestText) {
      if (!wasm) await start();
      try {
        return withBytes(wasm, encoder.encode(name), (nameAt) =>
          withBytes(wasm, encoder.encode(requestText), (requestAt) =>
            textAt(wasm, wasm._perrev_answer(nameAt, requestAt)),
          ),
        );
      } catch {
        wasm = null;
        return FAILED;
      }
    },
  };
}
