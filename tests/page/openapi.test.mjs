// Every operation and every status of openapi.json, asked of the running program; every JSON answer
// checked against the schema of its path and status (OpenAPI 3.1 is JSON Schema 2020-12).
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import Ajv2020 from "ajv/dist/2020.js";

import { binary, bytesOf, send, serve } from "./serving.mjs";

const api = JSON.parse(readFileSync(new URL("../../src/server/openapi.json", import.meta.url)));
const kase = JSON.parse(readFileSync(
  new URL("../../cases/shakes_after_new_tires.json", import.meta.url)));
const ajv = new Ajv2020({ strict: false, allErrors: true });
ajv.addSchema(api, "api");

// What a test cannot bring about from outside: a server that has too much to do, or a broken disk.
const notAsked = new Set(["503"]);
const seen = new Set();
let local, lan;

const pointer = (...words) => "api#/" + words
  .map((word) => encodeURIComponent(word.replaceAll("~", "~0").replaceAll("/", "~1"))).join("/");

/** The answer's description, with `$ref` followed; the words of the pointer to it. */
function described(path, method, status) {
  const there = api.paths[path][method].responses[status];
  assert.ok(there, `${method} ${path} gave ${status}, which is not described`);
  if (!there.$ref) return [there, ["paths", path, method, "responses", status]];
  const name = there.$ref.split("/").at(-1);
  return [api.components.responses[name], ["components", "responses", name]];
}

/** Asks, and checks status, type and content against the description. */
async function ask(server, path, method, status, bytes) {
  return check(path, method, status, await send(server, bytes));
}

function check(path, method, status, answer) {
  assert.equal(answer.status, status, `${method} ${path}: ${answer.body.subarray(0, 300)}`);
  const [there, words] = described(path, method, String(status));
  seen.add(`${method} ${path} ${status}`);
  const type = answer.headers["content-type"];
  assert.ok(Object.hasOwn(there.content, type), `${method} ${path} ${status}: ${type}`);
  assert.equal(answer.headers["x-content-type-options"], "nosniff");
  assert.match(answer.headers["cache-control"], /no-store|immutable/);
  if (type === "application/json") {
    const fits = ajv.getSchema(pointer(...words, "content", type, "schema"));
    const json = JSON.parse(answer.body);
    assert.ok(fits(json), `${method} ${path} ${status}: ${ajv.errorsText(fits.errors)}`);
    return json;
  }
  return answer.body;
}

const operations = Object.entries(api.paths).flatMap(([path, item]) =>
  ["get", "put", "patch", "post", "delete"].filter((method) => item[method])
    .map((method) => ({ path, method, of: item[method] })));

const filled = (path) => path.replace("{id}", "case-one").replace("{digest}", "none")
  .replace("{name}", "diagnosis").replace("{sha256}", "0".repeat(64));

before(async () => {
  [local, lan] = [await serve(), await serve("--lan")];
});
after(async () => {
  assert.equal(await local.stop(), 0);
  assert.equal(await lan.stop(), 0);
});

test("what goes well", async () => {
  const one = "/api/cases/{id}";
  const at = (path) => path.replace("{id}", "case-one");
  const say = (path, method, status, more, query = "") =>
    ask(local, path, method, status, bytesOf(local, method.toUpperCase(), at(path) + query, more));
  const head = { label: kase.label };
  await say("/api/openapi.json", "get", 200);
  const about = await say("/api/about", "get", 200);
  await say(one, "put", 201, { body: head });
  await say(one, "put", 200, { body: head });
  await say(one, "put", 409, { body: { label: "other" } });
  await say(one, "patch", 200, { body: { shop_number: 7 } });
  const entries = kase.entries;
  await say(`${one}/entries`, "post", 200, { body: { entries } });
  const ranked = await say(`${one}/entries`, "post", 200, { body: { entries } }, "?ranking=1");
  assert.ok(ranked.ranking.length > 0);
  await say(`${one}/entries`, "post", 409,
    { body: { entries: [{ ...entries[0], value: "something else" }] } });
  const whole = await say(one, "get", 200);
  assert.deepEqual(whole.case.entries, entries);
  await say("/api/cases", "get", 200, {}, "?search=steering&limit=5");
  await say(`${one}/events`, "get", 200);
  await say("/api/events", "get", 200, {}, "?after=0");
  for (const name of ["diagnosis", "plan", "road"]) await say(`${one}/${name}`, "get", 200);
  const document = { perrev_case: 1, label: "", entries };
  const requests = {
    catalogue: {}, diagnosis: { case: document }, ranking: { case: document },
    plan: { case: document }, road: { case: document }, questions: { case: document, by: "road" },
    reasons: { case: document, cause: ranked.ranking[0].cause }, tire: { text: "225/60R16" },
    check_case: { case: document }, rules: {}, drawing: { cause: ranked.ranking[0].cause },
    explain: { name: ranked.ranking[0].cause, case: document },
  };
  for (const [name, body] of Object.entries(requests))
    await ask(local, "/api/answers/{name}", "post", 200,
      bytesOf(local, "POST", `/api/answers/${name}`, { body }));
  const photo = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16]), Buffer.from("JFIF\0"),
    Buffer.alloc(50, 1), Buffer.from([0xff, 0xd9])]);
  const { photo: sha } = await say(`${one}/photos`, "post", 201,
    { body: photo, head: { "Content-Type": "image/jpeg" } });
  const back = await ask(local, "/api/photos/{sha256}", "get", 200,
    bytesOf(local, "GET", `/api/photos/${sha}`));
  assert.deepEqual(back, photo);
  await say("/api/session", "post", 200, { body: { key: "" } });
  await say("/api/session", "delete", 200);
  await ask(local, "/api/rules/{digest}", "get", 200,
    bytesOf(local, "GET", `/api/rules/${about.rules_digest}`));
  for (const query of ["", "?for=technician&units=metric"])
    await say(`${one}/report`, "get", 200, {}, query);
});

test("what every operation refuses", async () => {
  for (const { path, method } of operations) {
    const verb = method.toUpperCase(), at = filled(path);
    const bad = (status, more, query = "") =>
      ask(local, path, method, status, bytesOf(local, verb, at + query, more));
    await bad(400, { head: { "Content-Length": "two" } });
    await bad(403, { head: { Origin: "https://elsewhere.example" } });
    await bad(421, { head: { Host: "elsewhere.example" } });
    await bad(431, { head: { "X-Long": "a".repeat(20000) } });
    await bad(414, {}, `?long=${"a".repeat(20000)}`);
    await bad(501, { head: { "Transfer-Encoding": "gzip" } });
    await bad(505, { version: "HTTP/3.0" });
  }
});

test("what operations with content refuse", async () => {
  for (const { path, method, of } of operations.filter((one) => one.of.requestBody)) {
    const verb = method.toUpperCase(), at = filled(path);
    const type = Object.keys(of.requestBody.content)[0];
    const bad = (status, more) => ask(local, path, method, status, bytesOf(local, verb, at, more));
    await bad(411, { head: { "Content-Type": type } });
    await bad(413, { head: { "Content-Type": type, "Content-Length": 999999999 } });
    await bad(415, { body: "a=b", head: { "Content-Type": "application/x-www-form-urlencoded" } });
    if (type === "application/json") await bad(400, { body: "{" });
  }
  const bad = (path, method, body, at = filled(path), head = {}) =>
    ask(local, path, method, 422, bytesOf(local, method.toUpperCase(), at, { body, head }));
  await bad("/api/cases/{id}", "put", {}, "/api/cases/No");
  await bad("/api/cases/{id}", "patch", { entries: [1] });
  await bad("/api/cases/{id}/entries", "post", { entries: [{}] });
  await bad("/api/cases/{id}/photos", "post", "no photo", undefined, { "Content-Type": "image/png" });
  await bad("/api/answers/{name}", "post", {});
  await bad("/api/session", "post", {});
});

test("a case that was put into the store without this rule base", async () => {
  const folder = mkdtempSync(join(tmpdir(), "perrev-odd-"));
  const file = join(folder, "case-odd.json");
  writeFileSync(file, JSON.stringify({ perrev_case: 1, label: "", entries: [
    { id: "1", at: "2026-05-04T09:12:00Z", by: "bay", fact: "unheard_of", value: "yes" }] }));
  const ran = spawnSync(binary, ["store", "import", "--store", local.store, "--as", "case-odd", file]);
  rmSync(folder, { recursive: true });
  assert.equal(ran.status, 0, String(ran.stderr));
  for (const name of ["diagnosis", "plan", "road", "report"])
    await ask(local, `/api/cases/{id}/${name}`, "get", 422,
      bytesOf(local, "GET", `/api/cases/case-odd/${name}`));
});

test("what is not there, and what cannot be reasoned about", async () => {
  const none = (path) => filled(path).replace("case-one", "case-none").replace("diagnosis", "nothing");
  for (const { path, method, of } of operations.filter((one) => one.of.responses["404"])) {
    const type = of.requestBody && Object.keys(of.requestBody.content)[0];
    const isEntries = path.endsWith("/entries");
    const body = !type ? undefined : type === "application/json"
      ? (isEntries ? { entries: [kase.entries[0]] } : {}) : Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16]);
    const at = path === "/api/cases/{id}/diagnosis" ? "/api/cases/case-none/diagnosis" : none(path);
    await ask(local, path, method, 404, bytesOf(local, method.toUpperCase(), at,
      { body, head: type ? { "Content-Type": type } : {} }));
  }
});

test("on a local network: the door", async () => {
  for (const { path, method, of } of operations.filter((one) => one.of.responses["401"])) {
    const body = path === "/api/session" ? { key: "wrong" } : undefined;
    await ask(lan, path, method, 401, bytesOf(lan, method.toUpperCase(), filled(path), { body }));
    assert.ok(of.responses["401"]);
  }
  await ask(lan, "/api/session", "post", 429,
    bytesOf(lan, "POST", "/api/session", { body: { key: lan.key } }));
  await new Promise((resolve) => setTimeout(resolve, 1500));
  const entered = await send(lan, bytesOf(lan, "POST", "/api/session", { body: { key: lan.key } }));
  assert.equal(entered.status, 200);
  lan.cookie = entered.headers["set-cookie"].split(";")[0];
  await ask(lan, "/api/about", "get", 200, bytesOf(lan, "GET", "/api/about"));
  // More than TLS sends in one record.
  const whole = await ask(lan, "/api/openapi.json", "get", 200, bytesOf(lan, "GET", "/api/openapi.json"));
  assert.deepEqual(whole, api);
  for (const path of ["/trust", "/ca.crt"])
    assert.equal((await send(lan, bytesOf(lan, "GET", path))).status, 200);
  // Changes too fast: once there are no more to be had, every one of them is put off.
  for (const { path, method } of operations.filter((one) => one.of.responses["429"])) {
    const bytes = bytesOf(lan, method.toUpperCase(), filled(path));
    let answer, tries = 0;
    do {
      answer = await send(lan, bytes);
    } while (answer.status !== 429 && ++tries < 1000);
    check(path, method, 429, answer);
  }
});

test("every status that is described was given", () => {
  const missing = operations.flatMap(({ path, method, of }) => Object.keys(of.responses)
    .filter((status) => !notAsked.has(status))
    .map((status) => `${method} ${path} ${status}`).filter((one) => !seen.has(one)));
  assert.deepEqual(missing, []);
});
