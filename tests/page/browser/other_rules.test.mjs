// The rule base is saved while a page is open: every open page says so, goes on, and has it after a
// reload; one that is not sound is told.
import assert from "node:assert/strict";
import { cpSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { serve } from "../serving.mjs";
import * as shop from "./shop.mjs";

let browser, server, folder, baseURL;
const inRules = (name) => join(folder, "rules", name);
const textOf = (name) => readFileSync(inRules(name), "utf8");

function save(name, text) {
  writeFileSync(join(folder, "new"), text);
  renameSync(join(folder, "new"), inRules(name));
}

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "perrev-rules-"));
  cpSync(fileURLToPath(new URL("../../../rules", import.meta.url)), join(folder, "rules"), {
    recursive: true,
  });
  server = await serve("--rules", join(folder, "rules"));
  baseURL = `http://${server.host}`;
  browser = await shop.launch();
});
after(async () => {
  await browser.close();
  assert.equal(await server.stop(), 0);
  rmSync(folder, { recursive: true });
});

const digest = async () => (await (await fetch(`${baseURL}/api/about`)).json()).rules_digest;
const told = (page, words) => page.locator(".told", { hasText: words });
const untold = (page) => page.waitForFunction(() => !document.querySelector(".told"));
const wheel = "causes/wheel.yaml";
const other = (text) => text.replace("usual: 93", "usual: 2");

test("a rule base that is not sound is told on the open page with its place, until it is sound", async () => {
  const { page, context, faults } = await shop.device(browser, "phone", { baseURL });
  await shop.newCase(page, "Job 171, through a slip of the trainer");
  const families = textOf("families.yaml");
  save("families.yaml", `${families}tier: {nmae: Tier}\n`);
  const banner = told(page, "is not sound; the one before stays in use");
  await banner.waitFor();
  assert.match(await banner.innerText(), /families\.yaml:\d+: .*nmae/);
  await shop.picture(page, "phone-rules-refused");
  assert.equal(await page.locator("#words").count(), 1);
  save("families.yaml", families);
  await untold(page);
  assert.deepEqual(faults, []);
  await context.close();
});

test("another rule base is told on the open page and under its ranking, and is there after a reload", async () => {
  const { page, context, faults } = await shop.device(browser, "phone", { baseURL });
  await shop.newCase(page, "Job 172, through another rule base");
  const before = await digest();
  const ranking = page.locator(".beside-work", { hasText: `Ranked by rule base ${before}.` });
  await ranking.waitFor({ state: "attached" });
  const text = textOf(wheel);
  save(wheel, other(text));
  await told(page, "The server works with another rule base now").waitFor();
  assert.match(await ranking.textContent(), /The server works with another now; load the page again/);
  await page.fill("#words", "entered under the old rule base");
  await page.locator(".question button.main").tap();
  await shop.saved(page);
  await shop.picture(page, "phone-rules-other");
  save(wheel, text); // the one that the page has
  await untold(page);
  save(wheel, other(text));
  await page.getByRole("button", { name: "Load it now" }).tap();
  await page.waitForFunction(() => document.querySelector("main"));
  const now = await digest();
  assert.notEqual(now, before);
  await page.getByText(`Ranked by rule base ${now}.`).first().waitFor({ state: "attached" });
  assert.equal(await page.locator(".told").count(), 0);
  save(wheel, text);
  await told(page, "another rule base").waitFor();
  assert.deepEqual(faults, []);
  await context.close();
});

test("a trainer who looks through the rule base without a case is told too", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop", { baseURL });
  await shop.openRules(page, "/#/rules");
  const text = textOf(wheel);
  save(wheel, other(text));
  await told(page, "another rule base").waitFor();
  await page.waitForFunction(() => document.getElementById("spoken").textContent.includes("rule base"));
  await shop.picture(page, "desktop-rules-other");
  save(wheel, text);
  await untold(page);
  assert.deepEqual(faults, []);
  await context.close();
});
