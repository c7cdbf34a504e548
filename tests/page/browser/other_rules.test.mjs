// The rule base is saved while a page is open: the page says so, goes on, and has it after a reload;
// one that is not sound is told.
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

test("a rule base that is saved is told on the open page, one that is not sound with its place", async () => {
  const { page, context, faults } = await shop.device(browser, "phone", { baseURL });
  await shop.newCase(page, "Job 171, through another rule base");
  const families = textOf("families.yaml");
  save("families.yaml", `${families}tier: {nmae: Tier}\n`);
  await page.getByText(/is not sound, so the one before stays in use: families\.yaml:\d+:/).waitFor();
  await shop.picture(page, "phone-rules-refused");
  assert.equal(await page.locator("#words").count(), 1);
  save("families.yaml", families);
  await page.waitForFunction(() => !document.querySelector(".told"));
  const before = (await (await fetch(`${baseURL}/api/about`)).json()).rules_digest;
  const wheel = textOf("causes/wheel.yaml");
  save("causes/wheel.yaml", wheel.replace("usual: 93", "usual: 2"));
  await page.getByText("The server works with another rule base now").waitFor();
  await page.fill("#words", "entered under the old rule base");
  await page.locator(".question button.main").tap();
  await shop.saved(page);
  await shop.picture(page, "phone-rules-other");
  await page.getByRole("button", { name: "Load it now" }).tap();
  await page.waitForFunction(() => document.querySelector("main") && !document.querySelector(".told"));
  const now = (await (await fetch(`${baseURL}/api/about`)).json()).rules_digest;
  assert.notEqual(now, before);
  await page.getByText(`Ranked by rule base ${now}`).first().waitFor({ state: "attached" });
  assert.deepEqual(faults, []);
  await context.close();
});
