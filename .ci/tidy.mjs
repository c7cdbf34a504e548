// clang-tidy over engine/ and src/: node .ci/tidy.mjs BUILD, a configured build folder of clang.
// Nearly all of its time goes into the headers of libraries, so that files of one folder are looked at together, as
// includes of one batch. Where two of them clash (each may have names of its own), the batch is halved.
import { execFile, execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { dirname, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const kBatch = 16;
const build = resolve(process.argv[2]);
const root = resolve(dirname(fileURLToPath(import.meta.url)), "..");
const folder = `${build}/tidy`;
mkdirSync(folder, { recursive: true });

// Options of a compilation without the compiler, the file and what comes out.
function options({ command }) {
  const words = command.match(/(?:\\.|[^\s\\])+/g).map((word) => word.replace(/\\(.)/g, "$1"));
  const from = words.findIndex((word) => word.startsWith("-"));
  return words.slice(from, words.indexOf("-o"));
}

const compiled = JSON.parse(readFileSync(`${build}/compile_commands.json`, "utf8"));
const listed = execFileSync("git", ["ls-files", "engine/*.cpp", "src/*.cpp"], { cwd: root, encoding: "utf8" });
const batches = new Map();
for (const path of listed.trim().split("\n")) {
  // One that only emscripten compiles is read like any other.
  const flags = options(compiled.find(({ file }) => relative(root, file) === path) ?? compiled[0]);
  const key = [dirname(path), ...flags].join("\n");
  if (!batches.has(key)) batches.set(key, { flags, paths: [] });
  batches.get(key).paths.push(path);
}
const waiting = [...batches.values()].flatMap(({ flags, paths }) => {
  const parts = Math.ceil(paths.length / kBatch);
  const size = Math.ceil(paths.length / parts);
  return Array.from({ length: parts }, (_, i) => ({ flags, paths: paths.slice(i * size, (i + 1) * size) }));
});

let made = 0;
let failed = false;
function tidy({ flags, paths }) {
  const file = `${folder}/${++made}.cpp`;
  const include = (path) => `#include "${root}/${path}"  // NOLINT(bugprone-suspicious-include)\n`;
  writeFileSync(file, paths.map(include).join(""));
  // Warnings of the compiler are the build's to tell.
  const words = ["--quiet", "--warnings-as-errors=*", file, "--", ...flags, "-w"];
  return new Promise((done) =>
    execFile("clang-tidy-19", words, { maxBuffer: 1 << 28 }, (error, out, log) => {
      if (error && out.includes("clang-diagnostic-error") && paths.length > 1) {
        const half = Math.ceil(paths.length / 2);
        waiting.push({ flags, paths: paths.slice(0, half) }, { flags, paths: paths.slice(half) });
      } else if (error) {
        failed = true;
        console.log(out + log);
      }
      done();
    }),
  );
}

async function work() {
  for (let batch = waiting.shift(); batch; batch = waiting.shift()) await tidy(batch);
}
await Promise.all(Array.from({ length: availableParallelism() }, work));
console.log(`${made} batches${failed ? "" : ", nothing found"}`);
process.exit(failed ? 1 : 0);
