// Answers for the page: from the engine in a worker once it is loaded, from the server until then
// and where WebAssembly or workers fail. Whoever asks cannot tell which. Recordings are read by the
// worker alone.
import { patience } from "./api.js";

async function postToServer(name, requestText) {
  const response = await fetch(`/api/answers/${name}`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: requestText,
    signal: patience(),
  });
  const text = await response.text();
  // Over HTTP the status says that it went well, and the content is the answer itself.
  return response.ok ? `{"ok":${text}}` : text;
}

const LOST = {
  problems: [{ what: "the engine stopped, and the recording is lost with it", right: "read it again" }],
};

const newWorker = () => new Worker(new URL("./engine-worker.js", import.meta.url), { type: "module" });

/** `startWorker` and `post` are for tests; a page uses `load` and `answer` below. */
export function makeEngine({ startWorker = newWorker, post = postToServer } = {}) {
  let worker = null; // answers; null before it is ready and once it is given up
  let pending = null; // the request it is answering: {resolve, reject}
  let spareStarts = 1;

  function dead(started, source) {
    started.terminate();
    if (worker === started) worker = null;
    pending?.reject(new Error("the worker died"));
    pending = null;
    return spareStarts-- > 0 ? begin(source) : false;
  }

  /** True once the worker is ready, false where it never will be. */
  function begin(source) {
    return new Promise((resolve) => {
      let started;
      try {
        started = startWorker();
      } catch {
        resolve(false);
        return;
      }
      started.onmessage = ({ data }) => {
        if (data.ready !== undefined) {
          worker = started;
          resolve(true);
        } else if (data.failed !== undefined) {
          started.terminate();
          resolve(false);
        } else {
          pending?.resolve(data.text);
          pending = null;
        }
      };
      started.onerror = () => resolve(dead(started, source));
      started.postMessage({ start: source });
    });
  }

  /** The worker's answer to a message; rejects where it dies over it. */
  const send = (message, handedOver = []) =>
    new Promise((resolve, reject) => {
      pending = { resolve, reject };
      worker.postMessage(message, handedOver);
    });

  function ask(name, requestText) {
    if (!worker) return post(name, requestText);
    return send({ name, request: requestText }).catch(() => post(name, requestText));
  }

  function step(recording, { bytes, request, ...given }) {
    if (!worker) return null;
    const text = request && JSON.stringify(request);
    const handedOver = bytes ? [bytes.buffer] : [];
    return send({ recording, bytes, request: text, ...given }, handedOver).catch(() => null);
  }

  let last = Promise.resolve();
  /** After what was asked before. */
  function inTurn(asking) {
    const text = last.then(asking);
    last = text.catch(() => {});
    return text;
  }

  return {
    /** `source`: {rulesUrl} or {bytes}. True once the engine answers here, false if it never will. */
    load: (source) => begin(source),

    /** The answer as it is parsed: {ok} or {problems}. In the order of the calls. */
    answer(name, request) {
      return inTurn(() => ask(name, JSON.stringify(request))).then(JSON.parse, (error) => ({
        problems: [{ what: `no answer: ${error.message}`, right: "try again" }],
      }));
    },

    /** Whether recordings can be read: the server does not. */
    reads: () => worker !== null,

    /** A step of reading a recording (engine-instance.js): {ok} or {problems}. Bytes are handed over. */
    recording: (name, given = {}) =>
      inTurn(() => step(name, given)).then((text) => JSON.parse(text) ?? LOST),
  };
}

export const { load, answer, reads, recording } = makeEngine();
