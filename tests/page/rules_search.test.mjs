// Looking for things in the rule base, the words of a strength, the picture in its window, and the
// ways to all of it.
import assert from "node:assert/strict";
import test from "node:test";
import { parseRoute, toRules } from "../../src/page/router.js";
import { atTheLeft, beginning, centred, fitting } from "../../src/page/rules/fitting.js";
import { indexOf, KINDS, plain, search, thingsOf } from "../../src/page/rules/search.js";
import { saidStrength, strengthWords } from "../../src/page/rules/strength.js";

const things = [
  { kind: "cause", id: "bent_rim", name: "Bent rim", words: ["wheel_end", "Wheel ends"] },
  { kind: "cause", id: "worn_joint", name: "Worn joint", words: ["driveline", "Driveline"] },
  { kind: "fact", id: "rim_runout", name: "How far is the rim out?", words: [] },
  {
    kind: "rule",
    id: "rim_out",
    name: "The rim runs out of true.",
    words: ["bent_rim", "Bent rim"],
  },
  { kind: "check", id: "gauge_on_rim", name: "Gauge on the rim", words: ["Räder drehen"] },
];
const index = indexOf(things);
const idsOf = (query) => search(index, query).flatMap(({ found }) => found.map(({ id }) => id));

const QUERIES = [
  ["", ["bent_rim", "worn_joint", "rim_runout", "rim_out", "gauge_on_rim"]],
  ["  ", ["bent_rim", "worn_joint", "rim_runout", "rim_out", "gauge_on_rim"]],
  ["RIM", ["bent_rim", "rim_runout", "rim_out", "gauge_on_rim"]],
  ["bent rim", ["bent_rim", "rim_out"]],
  ["bent_rim", ["bent_rim", "rim_out"]],
  ["rim wheel", ["bent_rim"]],
  ["rader", ["gauge_on_rim"]],
  ["Räder", ["gauge_on_rim"]],
  ["rim banana", []],
  ["(", []],
];
for (const [query, right] of QUERIES)
  test(`looking for "${query}"`, () => assert.deepEqual(idsOf(query), right));

test("one word more never finds more, and the order of words is the same to it", () => {
  const words = ["rim", "bent", "wheel", "gauge", "out", "joint", "the"];
  for (const one of words)
    for (const two of words) {
      const both = idsOf(`${one} ${two}`);
      assert.deepEqual(idsOf(`${two} ${one}`), both);
      for (const id of both) assert.ok(idsOf(one).includes(id));
    }
});

test("groups stand in one order, empty ones too; a thing that is named so comes first", () => {
  assert.deepEqual(
    search(index, "worn").map(({ kind }) => kind),
    KINDS,
  );
  const more = indexOf([
    { kind: "rule", id: "a", name: "Something", words: ["hub"] },
    { kind: "rule", id: "b", name: "The hub is worn", words: [] },
  ]);
  assert.deepEqual(
    search(more, "hub")[2].found.map(({ id }) => id),
    ["b", "a"],
  );
});

test("letters are compared without case and accents", () => {
  assert.equal(plain("Ölwanne_ÉTÉ"), "olwanne ete");
});

test("a rule is found by its causes, their families, its facts and its reason", () => {
  const map = (list) => new Map(list.map((one) => [one.id, one]));
  const facts = [
    { id: "felt_at", ask: "Where is it felt?", answers: [{ id: "seat", label: "In the seat" }] },
  ];
  const catalogue = {
    causes: map([{ id: "bent_rim", name: "Bent rim", family: "wheel_end" }]),
    families: map([{ id: "wheel_end", name: "Wheel ends" }]),
    checks: map([{ id: "look", what: "Look at it", how: "With a lamp", learns: ["felt_at"] }]),
    facts: map(facts),
    list: facts,
  };
  const rule = {
    id: "r1",
    because: "It hums.",
    when: "At 60 mph",
    causes: ["bent_rim", "nothing_left"],
    facts: ["felt_at"],
  };
  const all = indexOf(thingsOf(catalogue, [rule]));
  const kinds = (query) =>
    search(all, query)
      .filter(({ found }) => found.length)
      .map(({ kind }) => kind);
  assert.deepEqual(kinds("hums"), ["rule"]);
  assert.deepEqual(kinds("ends"), ["cause", "rule"]);
  assert.deepEqual(kinds("felt"), ["fact", "rule", "check"]);
  assert.deepEqual(kinds("seat"), ["fact"]);
  assert.deepEqual(kinds("lamp"), ["check"]);
});

const ROUTES = [
  { kind: "find" },
  { kind: "rule", id: "began_after_tires" },
  { kind: "cause", id: "odd/id?x" },
  { kind: "graph", graph: "path" },
  { kind: "graph", graph: "evidence", around: "family", name: "wheel_end", near: 1 },
  { kind: "graph", graph: "path", around: "check", name: "drive", near: 3 },
];
for (const route of ROUTES)
  for (const kase of [null, "abc234"])
    test(`there and back: ${toRules(route, kase)}`, () => {
      const way = toRules(route, kase);
      assert.deepEqual(parseRoute(way), { view: "rules", ...route, case: kase });
    });

test("what is no way into the rule base leads to its beginning", () => {
  for (const hash of ["#/rules/", "#/rules/cause", "#/rules/graph/pie", "#/rules/banana/x"])
    assert.equal(parseRoute(hash).kind, "find");
  assert.equal(parseRoute("#/rules/graph/path/banana/x/2").around, undefined);
});

const shown = ({ scale, x, y }, px, py) => [scale * (px + x), scale * (py + y)];

test("a picture is seen whole, in the middle; a large one is read from what it is about", () => {
  const size = { width: 800, height: 500 };
  const boxes = [
    { x: -4, y: -90, width: 100, height: 90 },
    { x: 0, y: 0, width: 9000, height: 300 },
    { x: 50, y: 7, width: 300, height: 5000 },
    { x: -7, y: -5000, width: 4000, height: 5000 },
  ];
  for (const box of boxes) {
    const right = box.x + box.width;
    const bottom = box.y + box.height;
    const whole = fitting(box, size);
    const corners = [...shown(whole, box.x, box.y), ...shown(whole, right, bottom)];
    assert.ok(corners[0] >= 15.9 && corners[1] >= 15.9);
    assert.ok(corners[2] <= 784.1 && corners[3] <= 484.1);
    assert.ok(Math.abs(corners[0] + corners[2] - 800) < 1e-6);
    assert.ok(Math.abs(corners[1] + corners[3] - 500) < 1e-6);
    for (const u of [0, 0.5, 0.9])
      for (const v of [0, 0.5, 0.9]) {
        const about = {
          x: box.x + u * box.width,
          y: box.y + v * box.height,
          width: 20,
          height: 10,
        };
        const begin = beginning(box, size, about);
        if (whole.scale >= 0.75) {
          assert.deepEqual(begin, whole);
          continue;
        }
        const [x, y] = shown(begin, about.x, about.y);
        assert.ok(x >= 0 && x <= 780 && y >= 0 && y <= 490, "it is in the window");
        const [left, top] = shown(begin, box.x, box.y);
        const [end, foot] = shown(begin, right, bottom);
        if (box.width > 800) assert.ok(left <= 16.1 && end >= 783.9, "no empty paper beside it");
        if (box.height > 500) assert.ok(top <= 16.1 && foot >= 483.9, "nor above and below");
      }
  }
  assert.deepEqual(shown(centred({ x: 1, y: 2, width: 4, height: 6 }, size, 3), 3, 5), [400, 250]);
});

test("without anything that it is about a picture begins at the left", () => {
  const at = (x, y) => ({ x, y, width: 10, height: 10 });
  const box = { x: 0, y: 0, width: 900, height: 200 };
  assert.deepEqual(atTheLeft([at(700, 90), at(40, 150), at(30, 80), at(20, 0)], box), at(30, 80));
});

const STRENGTHS = [
  ["for", "very_strong", 30, "very strong", "for, very strong: odds times 30"],
  ["against", "strong", 0.125, "strong", "against, strong: odds divided by 8"],
  ["for", "6.3", 6.3, "6.3 times", "for: odds times 6.3"],
  ["against", "6.3", 0.15873, "6.3 times", "against: odds divided by 6.3"],
];
for (const [side, strength, odds_ratio, short, long] of STRENGTHS)
  test(`a strength of ${strength}, ${side}`, () => {
    assert.equal(saidStrength(strength), short);
    assert.equal(strengthWords({ side, strength, odds_ratio }), long);
  });
