// Taps of the drive, order lines, routes, numbers, digests, and the list of files.
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import test from "node:test";
import { filesBelow } from "../../src/page/build.mjs";
import { mergeLines } from "../../src/page/case_lines.js";
import { minutes, percent, short, signed } from "../../src/page/number.js";
import { measuredPoints, plotData, rowsOf } from "../../src/page/order_lines.js";
import { frequencyEntry, tapEntries, tapsOf } from "../../src/page/parts/tap.js";
import { parseRoute, toCase } from "../../src/page/router.js";
import { sha256 } from "../../src/page/sha256.js";

const folder = new URL("../../src/page/", import.meta.url);

const stamped = (bodies, from) =>
  bodies.map((body, i) => ({
    id: String(from + i),
    at: new Date(1.7e12 + from + i).toISOString(),
    ...body,
  }));

function drive(...taps) {
  const entries = [];
  for (const tap of taps)
    entries.push(
      ...stamped(tapEntries(entries, { unit: "mph", by: "gps", ...tap }), entries.length + 1),
    );
  return entries;
}

test("every tap stays whole, and places add up", () => {
  const taps = [
    { speed: 55, felt: "seat", strength: "slight" },
    { speed: 62, felt: "steering_wheel", strength: "strong" },
    { speed: 70, felt: "seat", strength: "clear" },
  ];
  const entries = drive(...taps);
  const kept = tapsOf(entries).map(({ speed, felt, strength }) => ({ speed, felt, strength }));
  assert.deepEqual(
    kept,
    taps.map((tap) => ({ ...tap, speed: `${tap.speed} mph` })),
  );
  assert.deepEqual(entries.findLast((entry) => entry.fact === "felt_at").value, [
    "seat",
    "steering_wheel",
  ]);
});

test("the worst speed is that of the strongest tap, the first of equals", () => {
  const entries = drive(
    { speed: 55, felt: "seat", strength: "slight" },
    { speed: 62, felt: "seat", strength: "strong" },
    { speed: 70, felt: "seat", strength: "strong" },
  );
  const worst = entries.findLast((entry) => entry.fact === "worst_speed");
  assert.equal(worst.value, "62 mph");
  assert.deepEqual(worst.with, { by: "gps" });
});

test("a frequency says what was held", () => {
  const entry = frequencyEntry(13.4, { speed: 62, unit: "mph", by: "gps", rpm: "1650" });
  assert.deepEqual(entry.value, ["13.4 Hz"]);
  assert.deepEqual(entry.with, { speed: "62 mph", by: "gps", rpm: "1650 rpm" });
});

test("points are in the unit shown, whatever unit they were entered in", () => {
  const entries = stamped([frequencyEntry(14, { speed: 100, unit: "km/h" })], 1);
  // 1 mi = 1.609344 km exactly (NIST SP 811, B.8).
  assert.ok(Math.abs(measuredPoints(entries, "mph")[0].speed - 62.1371) < 1e-4);
  assert.equal(measuredPoints(entries, "km/h")[0].speed, 100);
});

test("a line that is lacking at one speed is empty there", () => {
  const answers = [{ lines: [] }, { lines: [{ about: "tire order 1", frequency_hz: 12 }] }];
  assert.deepEqual(rowsOf(answers), [{ about: "tire order 1", hz: [null, 12] }]);
});

test("a plot has a column for each line and for what was measured, on one row of speeds", () => {
  const rows = [
    { about: "tire order 1", hz: [6, 12] },
    { about: "tire order 2", hz: [null, null] },
  ];
  const data = plotData([30, 60], rows, [{ speed: 45, hz: 9.1 }]);
  assert.deepEqual(data, [
    [30, 45, 60],
    [6, 9, 12],
    [null, null, null],
    [null, 9.1, null],
  ]);
});

test("routes go there and back", () => {
  for (const tab of ["write_up", "road", "bay", "report", "log"])
    assert.deepEqual(parseRoute(toCase("abc234", tab)), { view: "case", id: "abc234", tab });
  for (const hash of ["", "#", "#/", "#/nonsense", "#/case"])
    assert.equal(parseRoute(hash).view, "cases");
  assert.equal(parseRoute("#/case/abc234/nonsense").tab, "write_up");
  assert.deepEqual(parseRoute("#key=ab%2Fc"), { view: "sign_in", key: "ab/c" });
});

const NUMBERS = [
  [percent(0), "0 %"],
  [percent(0.004), "under 1 %"],
  [percent(0.996), "over 99 %"],
  [percent(0.354), "35 %"],
  [short("0.019685 in"), "0.0197 in"],
  [short("65 mph"), "65 mph"],
  [minutes(0.2), "under 1 minute"],
  [minutes(1), "1 minute"],
  [minutes(138), "2.3 hours"],
  [signed(-0.25), "−0.3"],
];

for (const [got, right] of NUMBERS) test(`in words: ${right}`, () => assert.equal(got, right));

test("the digest is SHA-256, in hex", async () => {
  for (const length of [0, 1, 55, 56, 63, 64, 65, 119, 1000]) {
    const bytes = new Uint8Array(length).map((_, i) => i * 7);
    const right = createHash("sha256").update(bytes).digest("hex");
    assert.equal(await sha256(bytes), right);
  }
});

test("the list has what the server has and what it does not have yet", () => {
  const local = [
    { id: "a", label: "grey wagon", words: "", last_at: "2026-05-04T09:00:00Z" },
    { id: "b", label: "van", words: "hums", last_at: "2026-05-04T10:00:00Z" },
  ];
  const server = [
    { id: "a", label: "grey wagon", words: "shakes", last_at: "2026-05-04T11:00:00Z" },
  ];
  assert.deepEqual(
    mergeLines(server, local, "").map((line) => line.id),
    ["a", "b"],
  );
  assert.deepEqual(
    mergeLines([], local, "HUMS").map((line) => line.id),
    ["b"],
  );
});

test("no file of the page is long, and none has what its policy forbids", () => {
  for (const path of filesBelow(folder.pathname)) {
    if (path.startsWith("lib/") || !/\.(js|html|css)$/.test(path)) continue;
    const text = readFileSync(new URL(path, folder), "utf8");
    if (path.endsWith(".js")) assert.ok(text.split("\n").length <= 401, `${path} is long`);
    assert.doesNotMatch(text, /\sstyle=|unsafeHTML|innerHTML|\son\w+="/, path);
  }
});
