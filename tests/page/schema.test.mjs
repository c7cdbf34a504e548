// The JSON Schemas of rules/schema, read by a validator that is not ours (ajv, draft-07) over trees
// that a YAML reader not ours made (yaml, YAML 1.2): they accept every file that ships, and what they
// refuse the loader refuses too.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { after, test } from "node:test";
import { fileURLToPath } from "node:url";

import Ajv from "ajv";
import { parse, parseDocument } from "yaml";

import { binary } from "./serving.mjs";

const rules = fileURLToPath(new URL("../../rules", import.meta.url));
const files = readdirSync(rules, { recursive: true }).filter((name) => name.endsWith(".yaml")).sort();
const textOf = (name) => readFileSync(join(rules, name), "utf8");

const ajv = new Ajv({ allErrors: true, allowUnionTypes: true, strict: true, strictRequired: false });
ajv.addVocabulary(["enumDescriptions"]);
for (const name of readdirSync(join(rules, "schema")))
  ajv.addSchema(JSON.parse(readFileSync(join(rules, "schema", name), "utf8")), name);

const stem = (name) => name.split("/")[0].replace(".yaml", "");
const fits = (name) => ajv.getSchema(`${stem(name)}.schema.json`);

const scratch = mkdtempSync(join(tmpdir(), "perrev-schema-"));
cpSync(rules, scratch, { recursive: true });
after(() => rmSync(scratch, { recursive: true }));

/** What loading says of the shipped rule base with this text in the place of that file. */
function loaded(name, text) {
  writeFileSync(join(scratch, name), text);
  const ran = spawnSync(binary, ["rules", "check", scratch],
    { encoding: "utf8", env: { ...process.env, PERREV_CACHE: "off" } });
  if (files.includes(name)) writeFileSync(join(scratch, name), textOf(name));
  else rmSync(join(scratch, name));
  return ran;
}

test("every file that ships fits its schema, and names it in its first line", () => {
  assert.ok(files.length > 10);
  for (const name of files) {
    const [, path] = textOf(name).match(/^# yaml-language-server: \$schema=(\S+)\n/) ?? [];
    assert.ok(path, name);
    assert.equal(join(dirname(name), path), join("schema", `${stem(name)}.schema.json`), name);
    const valid = fits(name);
    assert.ok(valid(parse(textOf(name))), `${name}: ${ajv.errorsText(valid.errors)}`);
  }
});

test("a flow chart, of which none ships", () => {
  const chart = "- check: [ask_own_words]\n- {repair: rebalance, when: {vehicle_kind: car}}\n";
  const valid = fits("flow_chart.yaml");
  assert.ok(valid(parse(chart)), ajv.errorsText(valid.errors));
});

// file, what stands there once, what is put in its place. An empty `before` adds to the end.
const wrong = [
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, base: 0.1, asked_at: bay, lass: round}"],
  ["facts.yaml", "", "x_fact: {kind: yesno, base: 0.1, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: maybe, base: 0.1, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, base: 1.5, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: Which?, kind: one, base: {a: 0.5, b: 0.5}, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, answers: {a: A}, base: 0.1, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: How fast?, kind: number, unit: speed, base: {10 mph: 0.1}, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: How fast?, kind: number, unit: velocity, range: 0..9 mph, base: {5 mph: 0.1}, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, base: 0.1, asked_at: [bay, bay]}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, base: 0.1, asked_at: garage}"],
  ["facts.yaml", "", "X-fact: {ask: Is it?, kind: yesno, base: 0.1, asked_at: bay}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, base: 0.1, asked_at: bay, asked_if: {felt_at: nose}}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, base: 0.1, asked_at: bay, stop: {answers: yes, reason: It is.}}"],
  ["facts.yaml", "", "x_fact: {ask: Is it?, kind: yesno, base: 0.1, asked_at: bay, after_repair: maybe}"],
  ["facts.yaml", "", "x_fact: [ask, kind]"],
  ["limits.yaml", "", "felt_at: {better: lower, classes: {all: {good: 1 mm, bad: 2 mm, origin: from memory}}}"],
  ["limits.yaml", "", "no_such_fact: {better: lower, classes: {all: {good: 1 mm, bad: 2 mm, origin: from memory}}}"],
  ["limits.yaml", "on_off_difference:\n  better: lower", "on_off_difference:\n  better: smaller"],
  ["families.yaml", "steering_suspension: {name: Steering and suspension}", "steering_suspension: {nmae: Steering and suspension}"],
  ["families.yaml", "steering_suspension: {name: Steering and suspension}", "steering_suspension: Steering and suspension"],
  ["strengths.yaml", "hint: 1.5", "hint: 0.5"],
  ["strengths.yaml", "likely_from: 0.5", "likely_from: often"],
  ["strengths.yaml", "pairs: 0.10", "pears: 0.10"],
  ["causes/wheel.yaml", "usual: 93", "usual: sometimes"],
  ["causes/wheel.yaml", "usual: 93", "usual: 0"],
  ["causes/wheel.yaml", "usual: 93", "usual: 93\n  needs: {no_such_fact: yes}"],
  ["causes/wheel.yaml", "usual: 93", "usual: 93\n  needs: {worst_speed: 10..20 mph}"],
  ["causes/wheel.yaml", "usual: 93", "usual: 93\n  caution: "],
  ["causes/wheel.yaml", "  name: Wheel out of balance, static\n  family: wheel", "  name: X\n  family: weels"],
  ["causes/wheel.yaml", "shakes: [{source: tire, order: 1}]\n  not_with: [lost_weight,", "shakes: [{source: tyre, order: 1}]\n  not_with: [lost_weight,"],
  ["causes/wheel.yaml", "shakes: [{source: tire, order: 1}]\n  not_with: [lost_weight,", "shakes: [{source: tire, order: often}]\n  not_with: [lost_weight,"],
  ["causes/wheel.yaml", "not_with: [lost_weight, balanced_off_centre, tire_turned_on_rim]\n  repair: rebalance\n  proof: Off and on", "not_with: [no_such_cause]\n  repair: rebalance\n  proof: Off and on"],
  ["causes/wheel.yaml", "repair: rebalance\n  proof: Off and on the balancer", "repair: pray\n  proof: Off and on the balancer"],
  ["repairs.yaml", "minutes: 45\n  parts: small\n  cures: [static_imbalance,", "minutes: soon\n  parts: small\n  cures: [static_imbalance,"],
  ["repairs.yaml", "parts: small\n  cures: [static_imbalance,", "parts: tiny\n  cures: [static_imbalance,"],
  ["repairs.yaml", "cures: [static_imbalance, ", "cures: [static_imbalence, "],
  ...[
    "{rule: x_rule, when: {felt_att: seat}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {felt_at: nose}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {felt_at: []}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {any: {felt_at: seat}}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {not: {any: [{felt_at: nose}]}}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {worst_speed: 55..75}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {complaint_words: shake}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {tread_radial_runout: awful}, for: {tire: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {felt_at: seat}, for: {tire: somewhat}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {felt_at: seat}, for: {tyre: some}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {felt_at: seat}, for: {tire: 0.5}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {felt_at: seat}, because: It is., origin: from memory}",
    "{rule: x_rule, when: {felt_at: seat}, for: {tire: some}, origin: from memory}",
    "{rule: X rule, when: {felt_at: seat}, for: {tire: some}, because: It is., origin: from memory}",
    "felt_at",
  ].map((rule) => ["evidence/felt.yaml", "", `- ${rule}`]),
  ["shop.yaml", "{minutes: 4, what: \"Vehicle raised", "{minutes: -4, what: \"Vehicle raised"],
  ["shop.yaml", "wheels_off: {after: car_raised", "wheels_off: {after: car_lifted"],
  ...[
    "x_check: {what: Look, by: bay, learns: [no_such_fact], minutes: 1}",
    "x_check: {what: Look, by: shop, learns: [felt_at], minutes: 1}",
    "x_check: {what: Look, by: bay, learns: [], minutes: 1}",
    "x_check: {what: Look, by: bay, learns: felt_at, minutes: 1, setup: on_the_moon}",
    "x_check: {what: Look, by: bay, learns: felt_at, minutes: 1, equipment: [crystal_ball]}",
    "x_check: {what: Look, by: bay, learns: felt_at, minutes: 1, moves: sometimes}",
    "x_check: {what: Look, by: bay, learns: felt_at, minutes: 1, confirms: {no_such_cause: seat}}",
    "x_check: {what: Look, by: bay, learns: felt_at, minutes: 1, confirms: {static_imbalance: {felt_at: nose}}}",
  ].map((check) => ["checks.yaml", "", check]),
  ["path.yaml", "guards: [wheels_spin]", "guards: [wheels_turn]"],
  ["path.yaml", "asks: [pedal_firm,", "asks: [pedal_frim,"],
  ["path.yaml", "", "  - {from: begin, to: ask_own_words}"],
  ["path.yaml", "", "  - {from: start, to: start}"],
  ["path.yaml", "", "  - {from: start, to: ask_own_words, when: pased}"],
  ["path.yaml", "", "  - {from: start, to: ask_own_words, if: {felt_at: seat}}"],
  ["phrases.yaml", "", "- {says: x y z, means: {felt_at: nose}}"],
  ["phrases.yaml", "", "- {says: x y z, means: {no_such_fact: yes}}"],
  ["phrases.yaml", "", "- {says: x y z}"],
  ["phrases.yaml", "", "- {same: [qqq, qqqq], says: x y z, means: {felt_at: seat}}"],
  ["phrases.yaml", "", "- {says: x y z, means: {worst_speed: quick}}"],
  ["flow_chart.yaml", "", "- {check: [no_such_check]}"],
  ["flow_chart.yaml", "", "- {check: [ask_own_words], repair: rebalance}"],
  ["flow_chart.yaml", "", "- {when: {felt_at: seat}}"],
  ["physics.yaml", "\nbodies:\n", "\nbodies:\n  tank: {}\n"],
  ["physics.yaml", "\nroad: {", "\nroad: {no_such_key: 1, "],
  ["physics.yaml", "\n  senses:\n", "\n  senses:\n    nose: {weighting: wk, threshold: 0.01, origin: from memory}\n"],
  ...[
    "{from: upright, to: seat, hz: 5, damping: 0.3, gain: 1, origin: from memory}",
    "{from: vertical, to: nose, hz: 5, damping: 0.3, gain: 1, origin: from memory}",
    "{from: vertical, to: seat, hz: 0, damping: 0.3, gain: 1, origin: from memory}",
    "{from: vertical, to: seat, hz: 5, damping: 0.3, isolates: 1, gain: 1, origin: from memory}",
    "{from: vertical, to: seat, hz: 5, damping: 0.3, gain: 1}",
  ].map((path) => ["physics.yaml", "\npaths:\n", `\npaths:\n  - ${path}\n`]),
  ...[
    "no_such_cause: {kind: imbalance, median: 1, spread: 2, origin: from memory}",
    "accessory_drive: {kind: weight, median: 1, spread: 2, origin: from memory}",
    "accessory_drive: {kind: imbalance, median: 0, spread: 2, origin: from memory}",
    "accessory_drive: {kind: imbalance, median: 1 g, spread: 2, origin: from memory}",
    "accessory_drive: {kind: imbalance, median: 1, spread: 1, origin: from memory}",
    "accessory_drive: {kind: imbalance, median: 1, spread: 2, front: 2, origin: from memory}",
    "accessory_drive: {kind: imbalance, median: 1, spread: 2, while: parking, origin: from memory}",
    "accessory_drive: {kind: imbalance, median: 1, spread: 2}",
  ].map((fault) => ["physics.yaml", "\nfaults:\n", `\nfaults:\n  ${fault}\n`]),
];

test("what the schemas refuse, loading refuses", async (t) => {
  assert.equal(loaded("families.yaml", textOf("families.yaml")).status, 0);
  for (const [name, before, instead] of wrong)
    await t.test(`${name}: ${instead}`, () => {
      const text = files.includes(name) ? textOf(name) : "";
      if (before) assert.equal(text.split(before).length, 2, `'${before}' stands there once`);
      const made = before ? text.replace(before, () => instead) : `${text}\n${instead}\n`;
      assert.ok(!fits(name)(parse(made)), "the schema refuses it");
      const ran = loaded(name, made);
      assert.equal(ran.status, 1, "loading refuses it");
      assert.ok(ran.stderr.includes(`${name}:`), ran.stderr);
    });
});

/** Where in `data` a table describes a mapping, the first place of each table: [its schema, path]. */
function records(schema, data, path = [], seen = new Set()) {
  if (typeof data !== "object" || data === null) return [];
  const each = (below) => Object.keys(data).flatMap((key) =>
    below(key) ? records(below(key), data[key], [...path, key], seen) : []);
  if (schema.items) return each(() => schema.items);
  if (schema.additionalProperties?.type) return each(() => schema.additionalProperties);
  if (!schema.properties) return [];
  const first = !seen.has(schema) && seen.add(schema);
  return [...first ? [[schema, path]] : [], ...each((key) => schema.properties[key])];
}

test("what the schemas require, loading requires; what they do not know, it does not know", async (t) => {
  const kinds = new Set();
  let tried = 0;
  for (const name of files.filter((one) => !kinds.has(stem(one)) && kinds.add(stem(one)))) {
    const valid = fits(name);
    assert.equal(loaded(name, String(parseDocument(textOf(name)))).status, 0, `${name} written anew`);
    for (const [schema, path] of records(valid.schema, parse(textOf(name))))
      for (const key of [...schema.required ?? [], "no_such_key"])
        await t.test([name, ...path, key].join(" "), () => {
          const tree = parseDocument(textOf(name));
          if (!tree.deleteIn([...path, key])) tree.setIn([...path, key], "word");
          assert.ok(!valid(tree.toJS()), "the schema refuses it");
          assert.equal(loaded(name, String(tree)).status, 1, "loading refuses it");
          ++tried;
        });
  }
  assert.ok(tried > 60, `${tried} tried`);
});
