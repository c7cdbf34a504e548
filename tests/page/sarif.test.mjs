// What `perrev rules check --format sarif` prints, against the schema of SARIF 2.1.0 (OASIS; draft-04
// JSON Schema, out of @microsoft/jest-sarif).
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { cpSync, appendFileSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { after, test } from "node:test";
import { fileURLToPath } from "node:url";

import Ajv from "ajv";

import { binary } from "./serving.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "perrev-sarif-"));
after(() => rmSync(folder, { recursive: true }));

/** Draft 04 names itself by `id`; nothing else of it here is read otherwise by later drafts. */
function schema() {
  const entry = createRequire(import.meta.url).resolve("@microsoft/jest-sarif");
  const { $schema, id, ...rest } = JSON.parse(
    readFileSync(join(dirname(entry), "schemas/sarif-2.1.0-rtm.5.json")));
  assert.match(id, /sarif-2\.1\.0/);
  assert.match($schema, /draft-04/);
  return rest;
}

const uri = (text) => URL.canParse(text);
const uriReference = (text) => URL.canParse(text, "file:///") && !/[\s<>"{}|\\^`]/.test(text);
const ajv = new Ajv({
  strict: false,
  allErrors: true,
  unicodeRegExp: false, // a pattern of the schema is none with it
  formats: { uri, "uri-reference": uriReference, "date-time": true },
});
const valid = ajv.compile(schema());

/** The log of a rule base; it must fit the schema. */
function log(rules, code, cwd = root) {
  const ran = spawnSync(binary, ["rules", "check", rules, "--format", "sarif"],
    { cwd, encoding: "utf8" });
  assert.equal(ran.status, code, ran.stderr);
  const out = JSON.parse(ran.stdout);
  assert.ok(valid(out), JSON.stringify(valid.errors, null, 2));
  return out;
}

/** The shipped rule base with more in one file. */
function changed(name, file, text) {
  cpSync(join(root, "rules"), join(folder, name, "rules"), { recursive: true });
  appendFileSync(join(folder, name, "rules", file), text);
  return join(folder, name, "rules");
}

test("the shipped rule base, named from where one stands and from the root", () => {
  for (const each of log("rules", 0).runs[0].results) assert.equal(each.level, "note");
  const [run] = log(join(root, "rules"), 0).runs;
  const base = run.originalUriBaseIds.RULES.uri;
  for (const { locations } of run.results) {
    const { uri, uriBaseId } = locations[0].physicalLocation.artifactLocation;
    assert.equal(uriBaseId, "RULES");
    readFileSync(new URL(uri, base)); // 3.4.4: found by both together
  }
});

test("a weak rule base and one that does not load, in a folder with a blank and a letter beyond ASCII", () => {
  const spare = "\nspare: {ask: Is there a spare, kind: yesno, base: 0.5, asked_at: bay}\n";
  const weak = log(changed("Prüf stand", "facts.yaml", spare), 0).runs[0];
  assert.ok(weak.results.some((each) => each.ruleId === "unused-fact"));
  readFileSync(new URL("facts.yaml", weak.originalUriBaseIds.RULES.uri));
  const broken = log(changed("broken", "facts.yaml", "\nspare: {kind: yesno}\n"), 1).runs[0];
  assert.ok(broken.results.length > 0);
  for (const each of broken.results) assert.equal(each.ruleId, "load-error");
});

test("the schema refuses a log that lacks what it asks for", () => {
  const spoil = [
    (out) => delete out.version,
    (out) => delete out.runs[0].tool,
    (out) => delete out.runs[0].tool.driver.name,
    (out) => delete out.runs[0].results[0].message,
    (out) => { out.runs[0].results[0].level = "hint"; },
    (out) => { out.runs[0].results[0].locations[0].physicalLocation.region.startLine = 0; },
    (out) => { out.runs[0].results[0].locations[0].physicalLocation.artifactLocation.uri = "a b"; },
  ];
  for (const each of spoil) {
    const out = log("rules", 0);
    each(out);
    assert.ok(!valid(out), String(each));
  }
});
