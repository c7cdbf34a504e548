// Readings on their way from the form to the engine and back.
import assert from "node:assert/strict";
import test from "node:test";
import {
  draftOf,
  filledRows,
  givenOf,
  isBlank,
  rowsOf,
  sorted,
  unitsGiven,
  withUnit,
} from "../../src/page/reckon/given.js";

const length = (id, more = {}) => ({
  id,
  label: `The ${id}`,
  dimension: "length",
  units: ["in", "mm"],
  required: true,
  around: false,
  ...more,
});
const place = {
  id: "at",
  label: "Place",
  dimension: "angle",
  units: ["deg"],
  required: true,
  around: true,
};
const quantity = (id, more = {}) => ({
  id,
  label: `The ${id}`,
  kind: "quantity",
  required: true,
  columns: [length(id)],
  ...more,
});
const form = {
  id: "it",
  fields: [
    quantity("width"),
    quantity("depth", { required: false }),
    { id: "metal", label: "Metal", kind: "choice", choices: [], usual: "steel", required: false },
    {
      id: "dial",
      label: "Dial",
      kind: "rows",
      required: true,
      fewest: 3,
      most: 5,
      columns: [length("dial")],
    },
    {
      id: "marks",
      label: "Marks",
      kind: "rows",
      required: false,
      fewest: 2,
      most: 4,
      columns: [length("amount"), place],
    },
  ],
};
const draft = (more = {}) => ({ texts: {}, rows: {}, units: {}, choices: {}, ...more });

test("a bare number gets the unit that is chosen, a text with a unit keeps its own", () => {
  const rows = [
    ["0.30", "0.30 mm"],
    [" 12 ", "12 mm"],
    ["-0.5", "-0.5 mm"],
    [".5", ".5 mm"],
    ["1 3/4", "1 3/4 mm"],
    ["0,3", "0,3 mm"],
    ["0.3 in", "0.3 in"],
    ["4:30", "4:30"],
    ["about 3", "about 3"],
    ["", ""],
  ];
  for (const [typed, given] of rows) assert.equal(withUnit(typed, "mm"), given);
  assert.equal(withUnit("5", ""), "5");
});

test("what is given is what was typed, in the chosen units, without what is empty", () => {
  assert.deepEqual(givenOf(form, draft()), {});
  const typed = draft({
    texts: { width: "3", depth: "  " },
    choices: { metal: "brass" },
    units: { width: "mm", "dial/0": "mm", "marks/1": "o'clock" },
    rows: { dial: [["1"], [""], ["3 in"], [" "]], marks: [["1", "4"]] },
  });
  assert.deepEqual(givenOf(form, typed), {
    width: "3 mm",
    metal: "brass",
    dial: ["1 mm", "", "3 in"], // a reading that was missed is seen, empty ends are not
    marks: [["1 in", "4 o'clock"]],
  });
  assert.equal(givenOf(form, draft({ texts: { width: "3" } }), { length: "mm" }).width, "3 mm");
  assert.equal(
    givenOf(form, draft({ texts: { width: "3" } }), { length: "furlong" }).width,
    "3 in",
  );
});

test("answers come in the units that all readings are in", () => {
  const rows = [
    [{}, "us"],
    [{ width: "3 mm", metal: "brass" }, "metric"],
    [{ width: "3 in" }, "us"],
    [{ width: "3 mm", dial: ["1 in"] }, "us"],
    [{ dial: ["1 mm", "", "2 mm"], marks: [["1 mm", "4 o'clock"]] }, "metric"],
  ];
  for (const [given, units] of rows) assert.equal(unitsGiven(form, given, "us"), units);
});

test("only a choice is nothing to be worked out", () => {
  assert.ok(isBlank(form, givenOf(form, draft({ choices: { metal: "brass" } }))));
  assert.ok(!isBlank(form, givenOf(form, draft({ rows: { dial: [["", ""], ["2"]] } }))));
});

test("there are as many rows on the screen as are needed, with every column", () => {
  const marks = form.fields[4];
  assert.deepEqual(rowsOf(marks, draft()), [
    ["", ""],
    ["", ""],
  ]);
  assert.deepEqual(rowsOf(marks, draft({ rows: { marks: [["1"]] } })), [
    ["1", ""],
    ["", ""],
  ]);
  assert.deepEqual(filledRows(marks, draft({ rows: { marks: [["1"]] } })), [["1", ""]]);
});

test("what was kept in a case comes back as it was given", () => {
  const typed = draft({
    texts: { width: "3" },
    choices: { metal: "brass" },
    units: { width: "mm", "dial/0": "mm", "marks/0": "mm", "marks/1": "o'clock" },
    rows: {
      dial: [["1"], ["-2.5"], ["3 in"]],
      marks: [
        ["1", "4"],
        ["2", "4:30"],
      ],
    },
  });
  const given = givenOf(form, typed);
  const line = (value) =>
    [value]
      .flat()
      .map((row) => [row].flat().join(", "))
      .join("; "); // as the engine writes it
  const kept = Object.fromEntries(Object.entries(given).map(([id, value]) => [id, line(value)]));
  assert.deepEqual(givenOf(form, draftOf(form, { reckoned: "it", ...kept })), given);
  assert.deepEqual(draftOf(form, kept).texts, { width: "3" });
});

test("problems stand at their field and row, and what is still being typed is no problem", () => {
  const given = {
    width: "x",
    dial: ["1 mm", "2 mm", "y"],
    marks: [
      ["1 mm", "2 deg"],
      ["1 mm", ""],
    ],
  };
  const found = sorted(form, given, [
    { where: "/given/width", what: "no number", right: "such as 3 mm" },
    { where: "/given/dial/2", what: "no number" },
    { where: "/given/marks/1/1", what: "place is not given in row 2" },
    { where: "/given/marks/0/1", what: "no place" },
    { where: "/vehicle", what: "no axle" },
  ]);
  assert.deepEqual(found, {
    needed: ["Place in row 2"],
    fields: {
      width: [{ row: null, column: 0, words: "no number; needed: such as 3 mm" }],
      dial: [{ row: 2, column: 0, words: "no number" }],
      marks: [{ row: 0, column: 1, words: "no place" }],
    },
    others: ["no axle"],
  });
  const begun = sorted(form, { dial: ["1 mm"], marks: [["1 mm", "2 deg"]] }, [
    { where: "/given/width", what: "the width is not given" },
    { where: "/given/dial", what: "there are 1 of them" },
    { where: "/given/marks", what: "there are 1 of them" },
  ]);
  assert.deepEqual(begun, {
    needed: ["The width", "Dial (3 or more)", "Marks (2 or more)"],
    fields: {},
    others: [],
  });
});
