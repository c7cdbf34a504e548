// How a cause would be felt: the curve beside the speed that was entered and under a cause of the
// ranking, also without a network, in the colours of the device; the same in words and as a table.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser;
let id;
before(async () => {
  browser = await shop.launch();
  id = await shop.caseWithReasons(browser, "Job 160, felt at 62");
});
after(() => browser.close());

const shown = ".work .felt svg.perrev-plot";

async function openBeside(page) {
  await page.locator(".work .felt > summary").click();
  await page.waitForSelector(shown);
}

test("beside the entered speed: a picture with its mark, sentences and a table that agree", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await page.goto(`/#/case/${id}/write_up`);
  await page.getByText("Worst at 62 mph: how the likely causes are felt").waitFor();
  assert.equal(await page.locator(shown).count(), 0, "not before it is opened");
  await openBeside(page);
  const picture = page.locator(shown);
  assert.match(await picture.locator("title").textContent(), /^Felt: /);
  const labels = await picture.locator("text").allTextContents();
  for (const label of ["Speed (mph)", "anywhere", "entered: worst"])
    assert.ok(labels.includes(label), `${label} among ${labels}`);
  assert.equal(await picture.locator("style, script").count(), 0);
  const words = await page.locator(".work .felt > ul").textContent();
  assert.match(words, /Entered as worst: 62 mph, taken as \d+ mph on the road/);
  assert.match(words, /of people would feel it/);
  await page.getByText("The same as a table").click();
  const rows = page.locator(".work .felt tbody tr");
  assert.equal(await rows.count(), 15);
  assert.match(await rows.first().textContent(), /^\s*15\s/);
  assert.match(await rows.last().textContent(), /^\s*85\s/);
  await shop.picture(page, "desktop-felt");
  assert.deepEqual(faults, []);
  await context.close();
});

test("another cause has another curve, and each cause of the ranking its own", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await page.goto(`/#/case/${id}/road`);
  await page.waitForSelector(".work .felt");
  await openBeside(page);
  const before = await page.locator(`${shown} title`).textContent();
  const second = page.locator(".work .felt .segment").nth(1);
  const name = (await second.textContent()).trim();
  await second.click();
  await page.waitForFunction(
    ([at, text]) => document.querySelector(`${at} title`)?.textContent !== text,
    [shown, before],
  );
  const title = await page.locator(`${shown} title`).textContent();
  const cause = page.locator(".beside-work .cause", { hasText: name });
  await cause.locator("> summary").click();
  await cause.locator(".felt > summary").click();
  await cause.locator("svg.perrev-plot").waitFor();
  assert.equal(await cause.locator("svg.perrev-plot title").textContent(), title);
  await cause.locator("svg.perrev-plot").scrollIntoViewIfNeeded();
  await shop.picture(page, "desktop-felt-ranking");
  assert.deepEqual(faults, []);
  await context.close();
});

test("on a phone without a network it comes from the device, dark where the device says so", async () => {
  const { page, context, faults } = await shop.device(browser, "phone", { colorScheme: "light" });
  await page.goto("/#/device");
  await shop.workerReady(page);
  await page.getByText("Dark", { exact: true }).click();
  await page.goto(`/#/case/${id}/road`);
  await page.waitForSelector(".work .felt");
  await page.waitForFunction(async () => (await (await caches.open("rules")).keys()).length > 0);
  await context.setOffline(true);
  await page.reload();
  await page.waitForSelector(".work .felt");
  await openBeside(page);
  const [ink, paper] = await page.evaluate((at) => {
    const picture = document.querySelector(at);
    const of = (one, what) => getComputedStyle(one)[what].match(/\d+/g).map(Number);
    return [of(picture, "color"), of(picture.querySelector(".paper"), "fill")];
  }, shown);
  assert.ok(Math.min(...ink) > 200 && Math.max(...paper) < 60, `${ink} on ${paper}`);
  const box = await page.locator(shown).boundingBox();
  assert.ok(box.x >= 0 && box.x + box.width <= 360, "it fits");
  await page.locator(shown).scrollIntoViewIfNeeded();
  await shop.picture(page, "phone-felt-offline");
  assert.deepEqual(faults, []);
  await context.close();
});
