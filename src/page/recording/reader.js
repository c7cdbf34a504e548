// A recording on its way through the engine, a chunk at a time; never whole in memory. Pure but for
// what it is given.

export const CHUNK = 1 << 20;

const GONE = {
  problems: [{ what: "the file cannot be read any more", right: "choose it again" }],
};
const STOPPED = { stopped: true };

/** `step` is the engine's (engine.js, recording). It holds one recording: a new one drops the last. */
export function makeReader(step) {
  let newest = null;

  /** Null once all of it was taken, else what came of it. */
  async function feed(file, ofSpeeds, mine) {
    for (let at = 0; at < file.size; at += CHUNK) {
      const chunk = file.slice(at, at + CHUNK);
      const bytes = await chunk.arrayBuffer().catch(() => null);
      // From here to the next await nobody else can come between.
      if (newest !== mine) return STOPPED;
      if (!bytes) return GONE;
      const got = await step("take", { bytes: new Uint8Array(bytes), ofSpeeds });
      if (got.problems) return got;
      mine.done += chunk.size;
      mine.told({ part: mine.done / mine.total, seconds: got.ok.seconds });
    }
    return null;
  }

  async function pass(mine, request) {
    if (newest !== mine) return STOPPED;
    const opened = await step("open", { request });
    if (opened.problems) return opened;
    const { file, speedFile } = mine;
    const ended = (speedFile && (await feed(speedFile, true, mine))) || (await feed(file, false, mine));
    if (ended) return ended;
    return newest === mine ? step("finish") : STOPPED;
  }

  /** Two files of which nobody said how far their clocks are apart go through twice. */
  async function passes(mine, request) {
    if (!mine.speedFile || request.offset) return pass(mine, request);
    const found = await pass(mine, { ...request, find_offset: true });
    if (!found.ok) return found;
    const read = await pass(mine, { ...request, offset: `${found.ok.offset_s ?? 0} s` });
    return read.ok ? { ok: { ...read.ok, clocks: found.ok } } : read;
  }

  return {
    /**
     * source: {file, speedFile?, told({part: 0 to 1, seconds})}; `request` as of recording_room.h.
     * {ok} with `clocks` where they were put together, {problems}, or {stopped}.
     */
    async read(source, request) {
      const mine = { ...source, done: 0 };
      const times = source.speedFile && !request.offset ? 2 : 1;
      mine.total = times * (source.file.size + (source.speedFile?.size ?? 0));
      newest = mine;
      const got = await passes(mine, request);
      return newest === mine ? got : STOPPED;
    },

    stop() {
      newest = null;
    },
  };
}
