// Three people at one case: what one enters, the others see within a second.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser;
before(async () => {
  browser = await shop.launch();
});
after(() => browser.close());

test("the counter sees what the tablet enters within a second, and the other way round", async () => {
  const counter = await shop.device(browser, "desktop");
  const tablet = await shop.device(browser, "tablet");
  const id = await shop.newCase(counter.page, "Job 130, two at once");
  await shop.saved(counter.page);
  await tablet.page.goto(`/#/case/${id}/write_up`);
  await tablet.page.waitForSelector("#words");
  await shop.tab(counter.page, "Log");

  const seen = async (from, to, text) => {
    await from.fill("#words", text);
    const shown = to.locator(".log", { hasText: text }).waitFor();
    const begun = Date.now();
    await from.locator(".question button.main").click();
    await shown;
    return Date.now() - begun;
  };
  const there = await seen(tablet.page, counter.page, "it shakes, says the tablet");
  console.log(`seen after ${there} ms`);
  assert.ok(there < 1000, `${there} ms`);

  await shop.tab(tablet.page, "Log");
  await counter.page
    .getByRole("button", { name: /Take back/ })
    .first()
    .click();
  await tablet.page.locator(".log", { hasText: "(taken back)" }).waitFor({ timeout: 1000 });
  for (const { faults, context } of [counter, tablet]) {
    assert.deepEqual(faults, []);
    await context.close();
  }
});

test("two tabs of one device share one outbox and lose nothing", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  const id = await shop.newCase(page, "Job 131, two tabs");
  const other = await context.newPage();
  await other.goto(`/#/case/${id}/log`);
  await page.fill("#words", "from the first tab");
  await page.locator(".question button.main").click();
  await other.locator(".log", { hasText: "from the first tab" }).waitFor({ timeout: 2000 });
  await page.waitForFunction(() => !document.querySelector("#words"));
  await page.waitForSelector(".work .question[data-fact]");
  await Promise.all([
    shop.answerByKeys(page),
    other.fill("#name", "Job 131, renamed").then(() => other.keyboard.press("Tab")),
  ]);
  await shop.saved(other);
  await shop.saved(page);
  const { case: stored } = await (await page.request.get(`/api/cases/${id}`)).json();
  assert.equal(stored.label, "Job 131, renamed");
  assert.equal(stored.entries.length, 2);
  await context.close();
});

test("a case goes out as a file and comes in at another device", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  await shop.newCase(page, "Job 132, as a file");
  await page.fill("#words", "goes along");
  await page.locator(".question button.main").click();
  await shop.tab(page, "Log");
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save as a file" }).click();
  const path = await (await download).path();
  const other = await shop.device(browser, "phone");
  await other.page.goto("/");
  await other.page.setInputFiles("#file", path);
  await other.page.locator(".log", { hasText: "goes along" }).waitFor();
  await shop.saved(other.page);
  await other.context.close();
  await context.close();
});
