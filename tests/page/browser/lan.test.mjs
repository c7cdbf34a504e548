// A server for the whole shop: a device does not trust it, comes to trust it as /trust says, gives the key,
// and then works without a network too.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { bytesOf, send, serve } from "../serving.mjs";
import * as shop from "./shop.mjs";

let lan, home, baseURL;
const browsers = [];

/** A browser whose user trusts what was installed in `home`, and nothing else. */
async function launchIn(folder) {
  const browser = await shop.launch({ env: { ...process.env, HOME: folder } });
  browsers.push(browser);
  return browser;
}

before(async () => {
  lan = await serve("--lan");
  baseURL = `https://${lan.host}`;
  home = mkdtempSync(join(tmpdir(), "perrev-home-"));
});
after(async () => {
  for (const browser of browsers) await browser.close();
  rmSync(home, { recursive: true });
  assert.equal(await lan.stop(), 0);
});

test("a device that does not trust the server is warned; the page of trust tells what to compare", async () => {
  const browser = await launchIn(join(home, "stranger"));
  const { page } = await shop.device(browser, "tablet", { baseURL });
  await assert.rejects(page.goto("/"), /ERR_CERT_AUTHORITY_INVALID/);
  const past = await shop.device(browser, "tablet", { baseURL, ignoreHTTPSErrors: true });
  await past.page.goto("/trust");
  assert.ok((await past.page.locator("body").innerText()).includes(lan.fingerprint));
  await shop.picture(past.page, "tablet-trust");
});

test("once it trusts the authority: a wrong key waits, the right one opens, and the network may go", async () => {
  const certificate = join(home, "ca.crt");
  writeFileSync(certificate, (await send(lan, bytesOf(lan, "GET", "/ca.crt"))).body);
  for (const folder of [".pki/nssdb", ".local/share/pki/nssdb"]) {
    const store = join(home, folder);
    mkdirSync(store, { recursive: true });
    execFileSync("certutil", ["-N", "-d", `sql:${store}`, "--empty-password"]);
    execFileSync("certutil", ["-A", "-d", `sql:${store}`, "-n", "shop", "-t", "C,,", "-i", certificate]);
  }
  const browser = await launchIn(home);
  const { page, context, faults } = await shop.device(browser, "tablet", { baseURL });
  await page.goto("/");
  assert.equal(await page.evaluate(() => isSecureContext), true);
  await page.getByRole("link", { name: "Sign in" }).first().tap();
  await page.fill("#key", "not the key");
  await page.getByRole("button", { name: "Sign in" }).tap();
  await page.locator("[role=alert]").waitFor();
  await shop.picture(page, "tablet-sign-in");
  await page.waitForTimeout(1500); // the door is shut for a second after a wrong key

  // As the code on the shop's screen has it.
  const asked = [];
  page.on("request", (request) => asked.push(request.url()));
  await page.goto(`/#key=${lan.key}`);
  await page.getByRole("link", { name: "New case" }).waitFor();
  assert.ok(!page.url().includes(lan.key));
  const id = await shop.newCase(page, "Job 160, over the shop's network");
  await shop.saved(page);
  assert.ok(asked.every((url) => !url.split("#")[0].includes(lan.key)), "the key is in no address");

  await shop.workerReady(page);
  await context.setOffline(true);
  await page.reload();
  await page.fill("#words", "said out on the road");
  await page.locator(".question button.main").tap();
  await page.waitForFunction(() =>
    /waits for the network/.test(document.querySelector(".saved").textContent),
  );
  await context.setOffline(false);
  await shop.saved(page);
  const stored = await page.evaluate(async (one) => (await fetch(`/api/cases/${one}`)).json(), id);
  assert.deepEqual(stored.case.entries.map((entry) => entry.value), ["said out on the road"]);
  assert.deepEqual(faults, []);
});

test("another device of the network sees nothing without the key", async () => {
  const { page } = await shop.device(browsers.at(-1), "phone", { baseURL });
  await page.goto("/");
  assert.equal(await page.evaluate(async () => (await fetch("/api/cases")).status), 401);
  await page.getByRole("link", { name: "Sign in" }).first().waitFor();
  assert.equal(await page.locator("main").getByText("Job 160").count(), 0);
});
