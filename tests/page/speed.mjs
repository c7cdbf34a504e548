// Sizes, times and memory of the engine in the page, beside the program's own times in the same
// run: node tests/page/speed.mjs [calls]. Times are of the processor, all threads of node together,
// so that what else runs on the machine matters less. For people; no test.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { build, nativeAnswers, pageEngine, requests } from "./answers.mjs";

const asked = requests();
const native = await nativeAnswers(asked);
const size = (what, bytes) =>
  console.log(`${what}: ${bytes.length} bytes, ${gzipSync(bytes, { level: 9 }).length} with gzip`);
size("engine.wasm", readFileSync(join(build, "page/engine.wasm")));
size("engine.mjs", readFileSync(join(build, "page/engine.mjs")));
size("rule base", native.rules);

const used = () => process.cpuUsage().user / 1000 + process.cpuUsage().system / 1000;
const began = used();
const engine = await pageEngine(native.rules);
console.log(`ready after ${(used() - began).toFixed(0)} ms`);

const sums = new Map();
for (const [i, { name, request }] of asked.entries()) {
  const text = JSON.stringify(request);
  const start = used();
  await engine.answer(name, text);
  const sum = sums.get(name) ?? { calls: 0, here: 0, there: 0, longest: 0 };
  const took = used() - start;
  sum.calls += 1;
  sum.here += took;
  sum.there += native.millis[i];
  sum.longest = Math.max(sum.longest, took);
  sums.set(name, sum);
}
for (const [name, { calls, here, there, longest }] of sums)
  console.log(
    `${name}: ${(here / calls).toFixed(2)} ms, longest ${longest.toFixed(1)}; ` +
      `program ${(there / calls).toFixed(2)} ms; ${(here / there).toFixed(2)} times`,
  );

const calls = Number(process.argv[2] ?? 0);
const first = engine.memory();
for (let i = 0; i < calls; ++i) {
  const { name, request } = asked[i % asked.length];
  await engine.answer(name, JSON.stringify(request));
}
console.log(`memory: ${first} bytes, after ${calls} more answers ${engine.memory()}`);
