// Cases, requests and answers for the tests of the engine in the page.
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

export const root = fileURLToPath(new URL("../..", import.meta.url));
export const build = join(root, process.env.PERREV_BUILD ?? "build");

const FELT = ["static_imbalance", "disc_thickness_variation", "driveshaft_imbalance", "tire_radial_runout"];
const EXPLAINED = ["felt_at", "bent_rim_radial", "began_after_tires", "drive_listen"];

/** Readings for reckonings of the bay. */
const TUBE = { length: "1500 mm", diameter: "76.2 mm", wall: "1.65 mm" };
const TURN = ["0.10", "0.35", "0.60", "0.65", "0.50", "0.25", "0.05", "0.02"];
const RECKONED = [
  { tool: "shaft_speed", place: "rear_shaft", given: TUBE },
  { tool: "shaft_speed", units: "metric", given: { ...TUBE, shaft_speed: "50 Hz" } },
  { tool: "shaft_speed", given: { length: "1500", wall: "80 mm" } },
  {
    tool: "runout",
    place: "left_front",
    given: { where: "tread", readings: TURN.map((one) => [`${one} mm`]) },
  },
];

/** Every answer that takes a case, for every case of cases/. */
export function requests() {
  const all = [];
  const files = readdirSync(join(root, "cases")).filter((name) => name.endsWith(".json"));
  for (const [i, file] of files.entries()) {
    const asked = JSON.parse(readFileSync(join(root, "cases", file), "utf8"));
    const add = (name, more) => all.push({ file, name, request: { case: asked, ...more } });
    add("check_case", {});
    add("ranking", {});
    add("diagnosis", { explained: 1000 });
    add("plan", {});
    for (const units of ["us", "metric"]) add("road", { units });
    for (const by of ["write_up", "road", "bay"]) add("questions", { by });
    add("lines", {});
    add("feel", { cause: FELT[i % FELT.length], units: i % 2 ? "us" : "metric" });
    add("bay", RECKONED[i % RECKONED.length]);
    add("explain", { name: EXPLAINED[i % EXPLAINED.length] });
    for (const fact of ["in_turns", "bearing_rough", "felt_at"]) add("effect", { fact });
  }
  all.push({ file: "-", name: "catalogue", request: {} });
  all.push({ file: "-", name: "catalogue", request: { units: "metric" } });
  all.push({ file: "-", name: "rules", request: { units: "metric" } });
  for (const units of ["us", "metric"]) all.push({ file: "-", name: "bay_tools", request: { units } });
  for (const request of RECKONED) all.push({ file: "-", name: "bay", request });
  all.push({ file: "-", name: "tire", request: { text: "205/55R16 91V", speed: "60 mph" } });
  return all;
}

/** What the program's own build answers: {texts, millis, rules: the bytes of the rule base}. */
export async function nativeAnswers(asked) {
  const folder = mkdtempSync(join(tmpdir(), "perrev-"));
  try {
    const bytesFile = join(folder, "rules");
    const child = spawn(join(build, "tests/perrev_answers_dump"), [join(root, "rules"), bytesFile]);
    const texts = [];
    const millis = [];
    child.stdout.on("data", (chunk) => texts.push(chunk));
    child.stderr.on("data", (chunk) => millis.push(chunk));
    child.stdin.end(asked.map((one) => `${one.name}\t${JSON.stringify(one.request)}\n`).join(""));
    const code = await new Promise((resolve) => child.on("close", resolve));
    if (code !== 0) throw new Error(`perrev_answers_dump ended with ${code}`);
    const lines = (chunks) => Buffer.concat(chunks).toString("utf8").trimEnd().split("\n");
    const rules = new Uint8Array(readFileSync(bytesFile));
    return { texts: lines(texts), millis: lines(millis).map(Number), rules };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The engine as a page starts it. */
export async function pageEngine(rules) {
  const { default: createModule } = await import(pathToFileURL(join(build, "page/engine.mjs")));
  const { startEngine } = await import(new URL("../../src/page/engine-instance.js", import.meta.url));
  const wasmBinary = new Uint8Array(readFileSync(join(build, "page/engine.wasm")));
  return startEngine({ createModule, wasmBinary, rules });
}

/** Where two JSON trees differ by more than rounding; empty where they do not. */
export function differences(a, b, where = "") {
  if (typeof a === "number" && typeof b === "number") {
    const near = Math.max(1e-6 * Math.max(Math.abs(a), Math.abs(b)), 1e-9);
    return Math.abs(a - b) <= near ? [] : [`${where}: ${a} and ${b}`];
  }
  const isTree = (value) => typeof value === "object" && value !== null;
  if (!isTree(a) || !isTree(b) || Array.isArray(a) !== Array.isArray(b))
    return a === b ? [] : [`${where}: ${JSON.stringify(a)} and ${JSON.stringify(b)}`];
  // Keys in their order too: whoever shows them shows that order.
  if (Object.keys(a).join() !== Object.keys(b).join())
    return [`${where}: keys ${Object.keys(a)} and ${Object.keys(b)}`];
  return Object.keys(a).flatMap((key) => differences(a[key], b[key], `${where}/${key}`));
}
