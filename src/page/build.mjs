// Copies what is served into one folder: node build.mjs OUT MODULES, the latter from `npm ci`.
// Libraries are single ES modules already and are copied as they are; uPlot's small file is a plain
// script, so it gets its export line. The engine (engine.mjs, engine.wasm) stands in OUT already where
// it was compiled; whatever else is there is from an earlier time and goes. version.js names every
// file and a digest over all of them: a change of any byte is a new version for the service worker.
import { createHash } from "node:crypto";
import { cpSync, existsSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));

const LIBRARIES = [
  ["lit-html/lit-html.js", "lit/lit-html.js"],
  ["lit-html/directive.js", "lit/directive.js"],
  ["lit-html/directive-helpers.js", "lit/directive-helpers.js"],
  ["lit-html/directives/keyed.js", "lit/directives/keyed.js"],
  ["idb/build/index.js", "idb.js"],
  ["uplot/dist/uPlot.iife.min.js", "uplot.js", "export default uPlot;\n"],
  ["uplot/dist/uPlot.min.css", "uplot.css"],
  ["@panzoom/panzoom/dist/panzoom.es.js", "panzoom.js"],
];
const ENGINE = ["engine.mjs", "engine.wasm"];
const SOURCES = /\.(html|css|js|svg|webmanifest)$/;
const SERVED = /\.(html|css|m?js|svg|webmanifest|wasm)$/;

/** Files of a folder and those below it, as paths with slashes, sorted. */
export function filesBelow(folder, wanted = SOURCES, prefix = "") {
  const out = [];
  for (const item of readdirSync(join(folder, prefix), { withFileTypes: true })) {
    const path = prefix ? `${prefix}/${item.name}` : item.name;
    if (item.name === "node_modules" || item.name.startsWith(".")) continue;
    if (item.isDirectory()) out.push(...filesBelow(folder, wanted, path));
    else if (wanted.test(item.name)) out.push(path);
  }
  return out.sort();
}

function writeLibraries(out, modules) {
  for (const [from, to, tail] of LIBRARIES) {
    const text = readFileSync(join(modules, from), "utf8").replace(
      /\n?\/\/# sourceMappingURL.*/g,
      "",
    );
    const path = join(out, "lib", to);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, tail ? `${text}\n${tail}` : text);
  }
  const licences = [
    ["lit-html", "LICENSE"],
    ["idb", "LICENSE"],
    ["uplot", "LICENSE"],
    ["@panzoom/panzoom", "MIT-License.txt"],
  ].map(([name, file]) => {
    const about = JSON.parse(readFileSync(join(modules, name, "package.json"), "utf8"));
    const text = readFileSync(join(modules, name, file), "utf8");
    return `${name} ${about.version}\n\n${text}`;
  });
  writeFileSync(join(out, "lib", "LICENSES.txt"), licences.join("\n\n----\n\n"));
}

export function build(out, modules) {
  mkdirSync(out, { recursive: true });
  for (const name of readdirSync(out))
    if (!ENGINE.includes(name)) rmSync(join(out, name), { recursive: true });
  for (const path of filesBelow(here))
    cpSync(join(here, path), join(out, path), { recursive: true });
  writeLibraries(out, modules);
  const sheet = join(here, "..", "report", "report.css");
  if (existsSync(sheet)) cpSync(sheet, join(out, "report.css"));
  const files = filesBelow(out, SERVED).filter((path) => path !== "version.js" && path !== "sw.js");
  const hash = createHash("sha256");
  for (const path of files) hash.update(path).update(readFileSync(join(out, path)));
  const shell = { version: hash.digest("hex").slice(0, 16), files };
  writeFileSync(join(out, "version.js"), `self.SHELL = ${JSON.stringify(shell)};\n`);
  return shell;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [out, modules] = process.argv.slice(2);
  if (!out || !modules || !existsSync(modules)) {
    console.error("use: node build.mjs OUT MODULES");
    process.exit(2);
  }
  build(out, modules);
}
