// Laws of the log: merging, order, taking back, moments and ids.
import assert from "node:assert/strict";
import test from "node:test";
import * as log from "../../src/page/entries.js";
import { entryId, isCaseId, momentAfter, newCaseId, randomWord } from "../../src/page/ids.js";

/** Small numbers that look random and are the same at every run. */
function numbers(seed) {
  let x = seed;
  return (below) => {
    x = (Math.imul(x, 1664525) + 1013904223) >>> 0;
    return Math.floor((x / 2 ** 32) * below);
  };
}

function someEntries(next, count) {
  const out = [];
  for (let i = 0; i < count; ++i) {
    const entry = {
      id: next(2) ? String(i + 1) : `abcdef-${i + 1}`,
      by: ["write_up", "road", "bay"][next(3)],
    };
    entry.at = new Date(1.7e12 + next(20) * 1000).toISOString();
    if (out.length && next(4) === 0) entry.retracts = out[next(out.length)].id;
    else Object.assign(entry, { fact: ["felt_at", "pull"][next(2)], value: String(next(5)) });
    out.push(entry);
  }
  return out;
}

const shuffled = (list, next) => {
  const out = [...list];
  for (let i = out.length - 1; i > 0; --i) {
    const j = next(i + 1);
    [out[i], out[j]] = [out[j], out[i]];
  }
  return out;
};

test("merging does not depend on the order in which entries come, nor on how often", () => {
  for (let seed = 1; seed <= 200; ++seed) {
    const next = numbers(seed);
    const all = someEntries(next, 1 + next(15));
    const cut = next(all.length + 1);
    const once = log.mergeEntries(all.slice(0, cut), shuffled(all, next));
    const twice = log.mergeEntries(once.entries, shuffled(all, next));
    assert.deepEqual(once.entries, log.inOrder(all));
    assert.deepEqual(twice, { entries: once.entries, added: [], differ: [] });
  }
});

test("an entry with other content is told, and what the server has counts", () => {
  const mine = { id: "a", at: "2026-05-04T09:00:00Z", by: "bay", fact: "pull", value: "yes" };
  const theirs = { ...mine, value: "no" };
  const { entries, differ } = log.mergeEntries([mine], [theirs]);
  assert.deepEqual(entries, [theirs]);
  assert.deepEqual(differ, ["a"]);
});

test("the order of keys makes no other content", () => {
  assert.ok(log.sameEntry({ a: 1, b: { c: [1, 2], d: 3 } }, { b: { d: 3, c: [1, 2] }, a: 1 }));
  assert.ok(!log.sameEntry({ a: [1, 2] }, { a: [2, 1] }));
  assert.ok(!log.sameEntry({ a: 1 }, { a: 1, b: undefined }));
  assert.ok(!log.sameEntry([], {}));
});

test("a retraction of the last standing entry takes away just that, and its retraction puts it back", () => {
  for (let seed = 1; seed <= 200; ++seed) {
    const next = numbers(seed);
    const all = someEntries(next, 1 + next(12));
    const before = log.standing(all);
    if (!before.length) continue;
    const target = before[next(before.length)];
    const take = { id: "zzzzzz-1", at: "2027-01-01T00:00:00Z", by: "bay", retracts: target.id };
    const put = { id: "zzzzzz-2", at: "2027-01-01T00:00:01Z", by: "bay", retracts: take.id };
    assert.deepEqual(
      log.standing([...all, take]),
      before.filter((entry) => entry !== target),
    );
    assert.deepEqual(log.standing([...all, take, put]), before);
  }
});

test("ids order as the engine orders them: whole numbers first, by size", () => {
  const at = "2026-05-04T09:00:00Z";
  const ids = ["abcdef-2", "10", "9", "abcdef-10"].map((id) => ({ id, at }));
  assert.deepEqual(
    log.inOrder(ids).map((entry) => entry.id),
    ["9", "10", "abcdef-10", "abcdef-2"],
  );
});

test("what counts for a fact: bay over road over write-up, then the latest, in this round", () => {
  const entry = (id, by, value, more = {}) => ({
    id,
    at: `2026-05-04T09:0${id}:00Z`,
    by,
    fact: "f",
    value,
    ...more,
  });
  const all = [entry("1", "bay", "a"), entry("2", "write_up", "b"), entry("3", "road", "c")];
  assert.equal(log.current(all, "f").value, "a");
  const repaired = [
    ...all,
    { id: "4", at: "2026-05-04T09:04:00Z", by: "bay", repair: "r", result: "done" },
  ];
  assert.equal(log.current(repaired, "f"), null);
  assert.equal(log.current(repaired, "f", null, "vehicle").value, "a");
  const not = [
    ...all,
    { id: "4", at: "2026-05-04T09:04:00Z", by: "bay", repair: "r", result: "not_done" },
  ];
  assert.equal(log.current(not, "f").value, "a");
  const places = [
    entry("5", "bay", "d", { place: "left_front" }),
    entry("6", "bay", "e", { place: "right_front" }),
  ];
  assert.equal(log.current(places, "f", "left_front").value, "d");
});

test("moments rise with every entry, whatever the clock does", () => {
  const next = numbers(7);
  let newest = "";
  for (let i = 0; i < 500; ++i) {
    const moment = momentAfter(newest, 1.7e12 + next(1000) - 500);
    if (newest) assert.ok(Date.parse(moment) > Date.parse(newest));
    newest = moment;
  }
});

test("a clock that is behind another device does not put an entry before what it answers", () => {
  assert.equal(
    momentAfter("2026-05-04T09:00:00Z", Date.parse("2026-05-04T08:00:00Z")),
    "2026-05-04T09:00:00.001Z",
  );
  assert.equal(momentAfter("", 0), "1970-01-01T00:00:00.000Z");
});

test("ids have the form that the store takes", () => {
  for (let i = 0; i < 200; ++i) {
    assert.match(randomWord(6), /^[a-z2-7]{6}$/);
    assert.ok(isCaseId(newCaseId()));
  }
  assert.equal(entryId("abcdef", 12), "abcdef-12");
  for (const wrong of ["short", "Upper-case", "with blank", "x".repeat(41)])
    assert.ok(!isCaseId(wrong));
});

test("a yes to one answer keeps the others, and unsure is no answer", () => {
  assert.deepEqual(log.valueWith("seat", { value: ["floor"] }), ["floor", "seat"]);
  assert.deepEqual(log.valueWith("seat", { value: ["seat"] }), ["seat"]);
  assert.deepEqual(log.valueWith("seat", { answer: "unsure" }), ["seat"]);
  assert.deepEqual(log.valueWith("seat", null), ["seat"]);
});
