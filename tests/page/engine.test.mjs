// The engine in the page answers as the program does, refuses what is no rule base, survives what
// goes wrong, and lets go of its memory.
import assert from "node:assert/strict";
import { test } from "node:test";
import { differences, nativeAnswers, pageEngine, requests } from "./answers.mjs";

const asked = requests();
const native = await nativeAnswers(asked);
const engine = await pageEngine(native.rules);

test("differences are found, and rounding is none", () => {
  assert.deepEqual(differences({ a: [1, "x"] }, { a: [1 + 1e-8, "x"] }), []);
  for (const other of [{ a: [1.00001, "x"] }, { a: [1, "y"] }, { a: [1] }, { a: null }, [1], {}])
    assert.equal(differences({ a: [1, "x"] }, other).length, 1);
});

test("every answer about every case is the program's own", async () => {
  assert.equal(native.texts.length, asked.length);
  for (const [i, { file, name, request }] of asked.entries()) {
    const here = JSON.parse(await engine.answer(name, JSON.stringify(request)));
    const there = JSON.parse(native.texts[i]);
    const found = differences(here, there);
    assert.deepEqual(found.slice(0, 5), [], `${name} of ${file}`);
  }
  const answered = native.texts.filter((text) => text.startsWith('{"ok"')).length;
  assert.ok(answered > 0.9 * asked.length, `only ${answered} of ${asked.length} say anything`);
});

test("what is no request is a problem, not an exception", async () => {
  const deep = "[".repeat(1e6);
  for (const [name, text] of [["no_such_name", "{}"], ["diagnosis", ""], ["diagnosis", "{"],
    ["diagnosis", "{}"], ["plan", deep], ["plan", `{"case":${deep}`], ["", ""]])
    assert.ok(JSON.parse(await engine.answer(name, text)).problems.length > 0);
});

test("bytes that are no rule base are refused", async () => {
  await assert.rejects(pageEngine(new Uint8Array(0)));
  await assert.rejects(pageEngine(native.rules.subarray(0, native.rules.length - 1)));
  const damaged = native.rules.slice();
  damaged[damaged.length >> 1] ^= 1;
  await assert.rejects(pageEngine(damaged));
});

test("memory does not grow with the number of answers", async () => {
  const text = JSON.stringify(asked.find((one) => one.name === "ranking").request);
  for (let i = 0; i < 100; ++i) await engine.answer("ranking", text);
  const before = engine.memory();
  for (let i = 0; i < 2000; ++i) await engine.answer("ranking", text);
  assert.equal(engine.memory(), before);
});
