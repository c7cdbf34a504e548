// What the device keeps beside cases goes when its case is over or nobody came back to it.
import assert from "node:assert/strict";
import test from "node:test";
import { caseOfKept, outlived } from "../../src/page/outlived.js";

const DAY = 24 * 60 * 60 * 1000;
const NOW = Date.parse("2026-05-04T09:00:00Z");
const draft = (days) => ({ texts: {}, saved: NOW - days * DAY });

test("a key names its case, and what is kept of the device itself names none", () => {
  const rows = [
    ["reckoning abc123 list runout", "abc123"],
    ["reckoning abc123 step dial_gauge on left_front runout", "abc123"],
    ["drive abc123", "abc123"],
    ["device", null],
    ["gauge units", null],
    ["who", null],
    ["catalogue us", null],
    ["reckonings us", null],
  ];
  for (const [key, id] of rows) assert.equal(caseOfKept(key), id, key);
});

test("drafts of a case that is over go, and those nobody typed into for more than 30 days", () => {
  const rows = [
    ["reckoning open list runout", draft(29)],
    ["reckoning open list nuts", draft(31)],
    ["reckoning open list tires", { texts: {} }], // nobody knows how old: as long as its case
    ["reckoning closed list runout", draft(0)],
    ["drive open", true],
    ["drive closed", false],
    ["gauge units", { length: "mm" }],
    ["count", 400],
  ];
  assert.deepEqual(outlived(rows, (id) => id === "closed", NOW), [
    "reckoning open list nuts",
    "reckoning closed list runout",
    "drive closed",
  ]);
});
