// A recording on its way through the page: events of a sensor to rows, files to chunks, refusals to
// questions, and the engine of the page against the program over the same file.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { makeEngine } from "../../src/page/engine.js";
import {
  askColumns,
  askedBy,
  columnsSaid,
  nothingSaid,
  requestOf,
  withColumn,
} from "../../src/page/recording/given.js";
import { CHUNK, makeReader } from "../../src/page/recording/reader.js";
import { csvParts, paceOf, rowOf } from "../../src/page/recording/rows.js";
import { build, differences, nativeAnswers, pageEngine } from "./answers.mjs";
import { drive, SPEED, TIRE, wav } from "./recorded.mjs";

const { rules } = await nativeAnswers([]);
const engine = await pageEngine(rules);

/** As engine.js gives it, without a worker between. */
const step = async (name, { request, ...given } = {}) =>
  JSON.parse(await engine.recording(name, { request: JSON.stringify(request), ...given }));

const CASE = {
  perrev_case: 1,
  label: "recorded",
  entries: [
    { id: "1", at: "2026-05-04T09:00:00Z", by: "write_up", fact: "tire_size", value: "225/60R16" },
  ],
};

const HEADER = "time_s,ax_mps2,ay_mps2,az_mps2";

const everySecond = (seconds) => Array.from({ length: seconds }, (_, i) => [i + 0.3, SPEED]);
const driveText = ({ seconds = 40, ...more } = {}) =>
  csvParts(drive({ seconds, ...more }), everySecond(seconds)).join("");

const event = (timeStamp, x, y, z) => ({ timeStamp, accelerationIncludingGravity: { x, y, z } });

test("a reading of the sensor becomes a row: the top of the device is ahead, its left is left", () => {
  assert.deepEqual(rowOf(event(1250, 1, 2, 9.8), 1000), [0.25, 2, -1, 9.8]);
  assert.deepEqual(rowOf(event(1250, null, 2, 9.8), 1000), [0.25, 2, null, 9.8]);
  assert.equal(rowOf(event(1250, null, null, null), 1000), null);
  assert.equal(rowOf({ timeStamp: 5, accelerationIncludingGravity: null }, 0), null);
});

test("rows become text that says its units; a speed stands once, at its own time", () => {
  const rows = [
    [0, 1, 2, 9.8],
    [0.0166666, null, -0.5, 9.81],
    [0.033, 1, 0, 9.8],
  ];
  const text = csvParts(rows, [
    [0.02, 27.04],
    [0.01, 27],
    [7, 30],
  ]).join("");
  assert.equal(text, `${HEADER},speed_mps\n0,1,2,9.8,\n0.01667,,-0.5,9.81,27\n0.033,1,0,9.8,27.04\n`);
  assert.equal(csvParts(rows.slice(0, 1), []).join(""), `${HEADER}\n0,1,2,9.8\n`);
});

test("rate and gaps are told from the rows", () => {
  const rows = drive({ seconds: 10 });
  assert.deepEqual(paceOf([]), { rate: 0, gaps: 0, seconds: 0 });
  assert.equal(paceOf(rows.slice(0, 5)).rate, 0);
  const { rate, gaps, seconds } = paceOf(rows);
  assert.ok(Math.abs(rate - 100) < 0.1 && Math.abs(seconds - 9.99) < 1e-9);
  assert.equal(gaps, 0);
  assert.equal(paceOf([...rows.slice(0, 300), ...rows.slice(350)]).gaps, 1);
});

/** Steps that only note what they were given. */
function noting() {
  const calls = [];
  return {
    calls,
    step: async (name, { request, bytes, ofSpeeds } = {}) => {
      calls.push({ name, request, size: bytes?.length, ofSpeeds });
      return { ok: name === "take" ? { seconds: 1 } : { offset_s: 1.25 } };
    },
  };
}

test("a file goes through in chunks of a megabyte, and how far it is, is told", async () => {
  const { calls, step: note } = noting();
  const file = new Blob([new Uint8Array(2.5 * CHUNK)]);
  const parts = [];
  const got = await makeReader(note).read({ file, told: ({ part }) => parts.push(part) }, { by: "gps" });
  assert.deepEqual(got, { ok: { offset_s: 1.25 } });
  assert.deepEqual(calls.map(({ name, size }) => size ?? name),
    ["open", CHUNK, CHUNK, CHUNK / 2, "finish"]);
  assert.deepEqual(parts, [0.4, 0.8, 1]);
});

test("two files go through twice, speeds first, where nobody said how far their clocks are apart", async () => {
  const { calls, step: note } = noting();
  const source = { file: new Blob(["recording"]), speedFile: new Blob(["speeds"]), told: () => {} };
  const { ok } = await makeReader(note).read(source, {});
  assert.deepEqual(ok.clocks, { offset_s: 1.25 });
  const pass = ["open", "speeds", "recording", "finish"];
  const said = ({ name, ofSpeeds }) => (name === "take" ? (ofSpeeds ? "speeds" : "recording") : name);
  assert.deepEqual(calls.map(said), [...pass, ...pass]);
  assert.equal(calls[0].request.find_offset, true);
  assert.deepEqual(calls[4].request, { offset: "1.25 s" });
  calls.length = 0;
  await makeReader(note).read(source, { offset: "2 s" });
  assert.deepEqual(calls.map(said), pass);
});

test("a new recording ends the one before, and no bytes of it come after", async () => {
  const { calls, step: note } = noting();
  const reader = makeReader(note);
  const long = new Blob([new Uint8Array(5 * CHUNK)]);
  let second = null;
  const begin = () => {
    second ??= reader.read({ file: new Blob(["x"]), told: () => {} }, { name: "2" });
  };
  const first = await reader.read({ file: long, told: begin }, { name: "1" });
  assert.deepEqual(first, { stopped: true });
  assert.ok((await second).ok);
  const from = calls.findIndex(({ request }) => request?.name === "2");
  assert.deepEqual(calls.slice(from + 1).map(({ size }) => size), [1, undefined]);
});

test("a file that is gone, and one that is refused, are problems in words", async () => {
  const gone = { size: 5, slice: () => ({ arrayBuffer: () => Promise.reject(new Error("gone")) }) };
  const got = await makeReader(noting().step).read({ file: gone, told: () => {} }, {});
  assert.match(got.problems[0].what, /cannot be read/);
  const refused = await makeReader(step).read({ file: new Blob(["a,b\n1,2\n"]), told: () => {} }, {});
  assert.ok(refused.problems[0].what.length > 10);
});

const slotOf = ({ given = {}, speeds = {}, ...more } = {}) => ({
  said: { file: { ...nothingSaid(), given }, speeds: { ...nothingSaid(), given: speeds } },
  held: {},
  by: "",
  ...more,
});
const readText = (text, slot = slotOf()) =>
  makeReader(step).read({ file: new Blob([text]), told: () => {} }, requestOf(slot, "mph"));

// What the engine asks for, in its own words, has a question; with the answer it is read.
for (const [lacking, text, answer] of [
  ["speed_unit", driveText().replace("speed_mps", "speed"), "m/s"],
  ["time_unit", driveText().replace("time_s", "time"), "s"],
  ["acceleration_unit",
    `time_s,ax,ay,az\n${drive().map((row) => `${row[0]},${row[1]},${row[2]},${row[3] - 9.81}`).join("\n")}\n`, "m/s2"],
  ["acceleration_unit", driveText().replaceAll("_mps2", "_g"), "m/s2"],
  ["engine_unit",
    `time_s,az_mps2,engine_speed\n${drive().map((row) => `${row[0]},${row[3]},1800`).join("\n")}\n`, "rpm"],
  ["rows_per_second", `ax_mps2,az_mps2\n${drive().map((row) => `${row[1]},${row[3]}`).join("\n")}\n`, "100"],
  ["full_scale", wav(drive().map((row) => (row[3] - 9.81) / 4), 100), "4 m/s2"],
])
  test(`refused for want of ${lacking}, then read`, async () => {
    const refused = await readText(text);
    assert.deepEqual(askedBy(refused.problems ?? []), [lacking], JSON.stringify(refused));
    const read = await readText(text, slotOf({ given: { [lacking]: answer } }));
    assert.ok(read.ok, JSON.stringify(read));
    assert.ok(Math.abs(read.ok.seconds - 40) < 1);
  });

// Names that say nothing, none at all: the engine tells the columns, a person says which is what.
const unnamed = (header) =>
  `${header}${drive().map((row) => `${row.join(";")};${(3.6 * SPEED).toFixed(1)}`).join("\n")}\n`;
for (const [what, header, names] of [
  ["names that say nothing", "A;B;C;D;E\n", ["A", "B", "C", "D", "E"]],
  ["no names", "", [1, 2, 3, 4, 5].map((one) => `column ${one}`)],
])
  test(`${what}: the columns are told, and read once it is said which is what`, async () => {
    const text = unnamed(header);
    const refused = await readText(text);
    assert.ok(askColumns(refused.problems), JSON.stringify(refused.problems));
    assert.equal(refused.of_speed_file, false);
    assert.deepEqual(refused.file_columns.map(({ name }) => name), names);
    assert.deepEqual(refused.file_columns.map(({ first }) => first).slice(0, 1), ["0"]);
    const file = { ...nothingSaid(), columns: refused.file_columns };
    const roles = { time: 0, x: 1, y: 2, z: 3, speed: 4 };
    for (const [role, at] of Object.entries(roles)) file.given.columns = withColumn(file, role, names[at]);
    Object.assign(file.given, { time_unit: "s", acceleration_unit: "m/s2", speed_unit: "km/h" });
    const read = await readText(text, slotOf({ given: file.given }));
    assert.ok(read.ok, JSON.stringify(read));
    assert.ok(Math.abs(read.ok.highest_speed_km_h - 3.6 * SPEED) < 0.1);
    const told = Object.fromEntries(read.ok.file_columns.map(({ name, role }) => [role, name]));
    for (const [role, at] of Object.entries(roles)) assert.equal(told[role], names[at]);
  });

test("what the engine takes the columns for is said in the form, and can be said otherwise", async () => {
  const text = driveText().replace(HEADER, "time_s,ax_mps2,gyro,az_mps2");
  const read = await readText(text);
  const file = { ...nothingSaid(), columns: read.ok.file_columns };
  assert.deepEqual(columnsSaid(file), {
    time: "time_s", x: "ax_mps2", y: "", z: "az_mps2", speed: "speed_mps", engine: "",
  });
  file.given.columns = withColumn(file, "y", "ax_mps2");
  assert.deepEqual(columnsSaid(file), {
    time: "time_s", x: "", y: "ax_mps2", z: "az_mps2", speed: "speed_mps", engine: "",
  });
  const again = await readText(text, slotOf({ given: file.given }));
  assert.deepEqual(again.ok.columns.map(({ role, name }) => [role, name]), [
    ["time", "time_s"], ["y", "ax_mps2"], ["z", "az_mps2"], ["speed", "speed_mps"],
  ]);
});

test("of two files each has columns of its own, and the one that is refused is told", async () => {
  const file = new Blob([unnamed("A;B;C;D;E\n")]);
  const rows = Array.from({ length: 60 }, (_, i) => `${i - 10};${(3.6 * SPEED).toFixed(1)}`);
  const speedFile = new Blob([`A;B\n${rows.join("\n")}\n`]);
  const read = (slot) =>
    makeReader(step).read({ file, speedFile, told: () => {} }, requestOf(slot, "mph"));
  const first = await read(slotOf());
  assert.equal(first.of_speed_file, true);
  assert.ok(askColumns(first.problems));
  assert.deepEqual(first.speed_file_columns.map(({ name }) => name), ["A", "B"]);
  const speeds = { columns: { time: "A", speed: "B" }, time_unit: "s", speed_unit: "km/h" };
  const second = await read(slotOf({ speeds }));
  assert.equal(second.of_speed_file, false);
  assert.equal(second.file_columns.length, 5);
  const given = { columns: { time: "A", z: "D" }, time_unit: "s", acceleration_unit: "m/s2" };
  const { ok } = await read(slotOf({ given, speeds }));
  assert.ok(Math.abs(ok.highest_speed_km_h - 3.6 * SPEED) < 0.1, JSON.stringify(ok));
  assert.deepEqual(ok.speed_columns, [
    { role: "time", name: "A", unit: "s" },
    { role: "speed", name: "B", unit: "km/h" },
  ]);
});

test("a refusal has its line", async () => {
  const refused = await readText(`# made up\n${driveText().replace("speed_mps", "speed")}`);
  assert.equal(refused.problems[0].line, 2);
});

test("what was held gets the unit of its field, and is not said where it is empty", () => {
  const given = { full_scale: "2 g; 2 g, 4 g", channels: "1, 0,2", time_unit: "" };
  assert.deepEqual(requestOf(slotOf({ given, held: { speed: "62", rpm: " ", offset: "-1.5" } }), "mph"), {
    reading: { full_scale: ["2 g", "2 g", "4 g"], channels: [1, 0, 2] },
    speed_file: {},
    speed: "62 mph",
    offset: "-1.5 s",
  });
  assert.deepEqual(requestOf(slotOf({ held: { speed: "100 km/h" }, by: "gps" }), "mph"), {
    reading: {},
    speed_file: {},
    speed: "100 km/h",
    by: "gps",
  });
});

/** What the program says of the same file. */
function program(text, units) {
  const folder = mkdtempSync(join(tmpdir(), "perrev-"));
  try {
    const [file, vehicle] = ["drive.csv", "case.json"].map((name) => join(folder, name));
    writeFileSync(file, text);
    writeFileSync(vehicle, JSON.stringify(CASE));
    const binary = process.env.PERREV_BINARY ?? join(build, "src/perrev");
    const asked = ["recording", "orders", file, "--vehicle", vehicle, "--units", units, "--json"];
    return JSON.parse(execFileSync(binary, asked, { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] }));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

test("the page says of a recording what the program says, and draws it", async () => {
  const text = driveText();
  const read = await makeReader(step).read({ file: new Blob([text]), told: () => {} }, { case: CASE });
  assert.ok(read.ok, JSON.stringify(read));
  for (const units of ["us", "metric"]) {
    const { ok } = await step("answer", { request: { case: CASE, units, width: 230 } });
    const { svg, change, ...told } = ok;
    told.severity = { ...told.severity };
    assert.match(told.severity.sentences[0], /^Shake at the recorder: .*ISO 2631-1/);
    delete told.severity.sentences;
    assert.deepEqual(differences(told, program(text, units)).slice(0, 5), []);
    assert.match(told.sentences[0], /tire order 1/);
    assert.equal(told.entries[0].fact, "measured_frequency");
    assert.ok(Math.abs(Number.parseFloat(told.entries[0].value) - SPEED / TIRE) < 0.1);
    assert.match(svg.spectrum, /^<svg[^]*tire order 1/);
    assert.equal(change, null);
  }
});

test("a speed that was held stands for one that was not recorded", async () => {
  const text = csvParts(drive(), []).join("");
  const without = await readText(text);
  assert.equal(without.ok.highest_speed_km_h, 0);
  const request = { case: CASE, speed: "27 m/s" };
  const read = await makeReader(step).read({ file: new Blob([text]), told: () => {} }, request);
  assert.ok(Math.abs(read.ok.highest_speed_km_h - 97.2) < 0.01);
  const { ok } = await step("answer", { request: { case: CASE } });
  assert.match(ok.sentences[0], /tire order 1/);
});

test("a second recording of the session is held against the first, by name", async () => {
  const files = { before: driveText(), after: driveText({ amplitude: 0.05 }) };
  for (const [name, text] of Object.entries(files))
    await makeReader(step).read({ file: new Blob([text]), told: () => {} }, { case: CASE, name });
  const { ok } = await step("answer", { request: { before: "before" } });
  assert.ok(ok.change.factor < 0.5 && ok.change.factor > 0.1, `${ok.change.factor}`);
  assert.match(ok.change.sentences[0], /before, .* after/);
  assert.equal((await step("answer", { request: { before: "never" } })).ok.change, null);
});

test("answers about cases and a recording go side by side", async () => {
  const bytes = new TextEncoder().encode(driveText());
  await step("open", { request: { case: CASE } });
  for (let at = 0; at < bytes.length; at += 20000) {
    await step("take", { bytes: bytes.slice(at, at + 20000) });
    assert.ok(JSON.parse(await engine.answer("ranking", JSON.stringify({ case: CASE }))).ok);
  }
  assert.ok((await step("finish")).ok);
});

test("with a trap the recording is lost, and that is said; then another one is read", async () => {
  const other = await pageEngine(rules);
  const given = { request: "{}" };
  assert.equal(await other.recording("take", { bytes: new Uint8Array(3) }), null);
  assert.match(await other.recording("open", given), /ok/);
  assert.equal(await other.recording("take", { bytes: null }), null); // as a trap does
  assert.equal(await other.recording("finish", {}), null);
  assert.match(await other.recording("open", given), /ok/);
  assert.match(await other.recording("take", { bytes: new TextEncoder().encode("time_s") }), /ok/);
});

test("without a worker there is no recording: it is said, and no server is asked", async () => {
  const post = () => assert.fail("a server was asked");
  const none = makeEngine({ startWorker: () => assert.fail(), post });
  assert.equal(none.reads(), false);
  assert.match((await none.recording("finish")).problems[0].what, /lost/);
});

test("memory does not grow with the length of a recording", async () => {
  const chunk = driveText({ seconds: 200 });
  const rows = chunk.slice(chunk.indexOf("\n") + 1);
  const turned = (k) => rows.replace(/^[\d.]+/gm, (at) => (Number(at) + 200 * k).toFixed(2));
  await step("open", { request: {} });
  const take = (text) => step("take", { bytes: new TextEncoder().encode(text) });
  await take(`${HEADER},speed_mps\n`);
  let before = 0;
  for (let k = 0; k < 40; ++k) {
    assert.ok((await take(turned(k))).ok);
    if (k === 10) before = engine.memory();
  }
  assert.ok((await step("finish")).ok);
  assert.ok(engine.memory() <= 1.5 * before, `${before} to ${engine.memory()} bytes`);
});
