// Who asks gets the engine's answer or the server's, in order, whatever becomes of the worker.
import assert from "node:assert/strict";
import { test } from "node:test";
import { makeEngine } from "../../src/page/engine.js";

/** Workers that do what `script` says, one word a worker: ready, failed, dies (at a request). */
function workers(script) {
  const made = [];
  const startWorker = () => {
    const word = script[made.length];
    if (word === undefined || word === "none") throw new Error("no worker");
    const worker = {
      ended: false,
      terminate: () => (worker.ended = true),
      postMessage(message) {
        queueMicrotask(() => {
          if (worker.ended) return;
          if (message.start && word === "dies_at_once") worker.onerror({});
          else if (message.start) worker.onmessage({ data: word === "failed" ? { failed: "x" } : { ready: "d" } });
          else if (word === "dies") worker.onerror({});
          else worker.onmessage({ data: { text: `{"ok":"worker ${message.name}"}` } });
        });
      },
    };
    made.push(worker);
    return worker;
  };
  return { made, startWorker };
}

const post = async (name) => `{"ok":"server ${name}"}`;

test("before it is loaded the server answers, then the worker", async () => {
  const engine = makeEngine({ ...workers(["ready"]), post });
  assert.deepEqual(await engine.answer("a", {}), { ok: "server a" });
  assert.equal(await engine.load({ rulesUrl: "/r" }), true);
  assert.deepEqual(await engine.answer("b", {}), { ok: "worker b" });
});

test("where no worker comes to life the server answers", async () => {
  for (const script of [["none"], ["failed"], ["dies_at_once", "dies_at_once"], ["dies_at_once", "none"]]) {
    const engine = makeEngine({ ...workers(script), post });
    assert.equal(await engine.load({ rulesUrl: "/r" }), false, script.join());
    assert.deepEqual(await engine.answer("a", {}), { ok: "server a" });
  }
});

test("a dead worker is started anew once, and what it was asked is answered", async () => {
  const { made, startWorker } = workers(["dies", "dies", "ready"]);
  const engine = makeEngine({ startWorker, post });
  await engine.load({ rulesUrl: "/r" });
  for (let i = 0; i < 5; ++i) {
    assert.deepEqual(await engine.answer("a", {}), { ok: "server a" });
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
  assert.equal(made.length, 2);
  assert.ok(made.every((worker) => worker.ended));
  const other = workers(["dies", "ready"]);
  const again = makeEngine({ startWorker: other.startWorker, post });
  await again.load({ rulesUrl: "/r" });
  await again.answer("a", {});
  await new Promise((resolve) => setTimeout(resolve, 1));
  assert.deepEqual(await again.answer("b", {}), { ok: "worker b" });
});

test("answers come in the order of the calls, and an answer that fails stops none", async () => {
  const slowFirst = async (name) => {
    await new Promise((resolve) => setTimeout(resolve, name === "slow" ? 20 : 1));
    if (name === "gone") throw new Error("offline");
    return `{"ok":"${name}"}`;
  };
  const engine = makeEngine({ ...workers([]), post: slowFirst });
  const order = [];
  const ask = (name) => engine.answer(name, {}).then((got) => order.push(got.ok ?? "problems"));
  await Promise.all(["slow", "gone", "fast"].map(ask));
  assert.deepEqual(order, ["slow", "problems", "fast"]);
});
