// The whole job of one case: at the counter by keyboard alone, on a phone by touch alone.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser;
before(async () => {
  browser = await shop.launch();
});
after(() => browser.close());

async function inOneLine(page, at) {
  const tops = await page.locator(at).evaluateAll((all) =>
    all.filter((one) => one.checkVisibility()).map((one) => Math.round(one.getBoundingClientRect().top)),
  );
  assert.ok(new Set(tops).size <= 1, `${at}: lines at ${tops}`);
}

/** Nothing hangs over the right edge; on a phone the layout would grow and everything shrink. */
async function fits(page, where) {
  const over = await page.evaluate(() => {
    const width = document.documentElement.clientWidth;
    return [...document.querySelectorAll("main *")]
      .filter(
        (one) =>
          one.checkVisibility() &&
          !one.closest(".scroll, .unseen") &&
          one.getBoundingClientRect().right > width + 1,
      )
      .map((one) => `${one.tagName}.${one.className}`);
  });
  assert.deepEqual(over, [], where);
  assert.equal(await page.evaluate(() => innerWidth), page.viewportSize().width, where);
}

const WORDS = "Shakes in the steering wheel at 62 mph since new tires last week";

test("counter: the write-up by keyboard alone, and back takes an answer back", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await shop.newCase(page, "Job 114, grey wagon");
  await shop.picture(page, "desktop-words");
  await page.keyboard.type(WORDS);
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => !document.querySelector("#words"));
  while (await page.locator(".said").count()) {
    const left = await page.locator(".said + p").textContent();
    await page.keyboard.press("1");
    await page.waitForFunction(
      (text) => document.querySelector(".said + p")?.textContent !== text,
      left,
    );
  }
  await shop.saved(page);
  const order = [];
  while (order.at(-1) !== "tire_size" && order.length < 25) {
    if (order.length === 3) await shop.picture(page, "desktop-question");
    order.push(await shop.answerByKeys(page));
  }
  order.push(await shop.answerByKeys(page));
  assert.ok(order.includes("nuts_loose"));
  assert.ok(order.indexOf("nuts_loose") < order.indexOf("tire_size"), "safety comes before size");
  const next = await page.locator(".work .question").getAttribute("data-fact");
  await page.locator("body").press("b");
  await page.waitForFunction(
    (fact) => document.querySelector(".work .question")?.dataset.fact === fact,
    order.at(-1),
  );
  await page.locator(".ask").focus();
  await page.keyboard.press("u");
  await page.waitForFunction(
    (fact) => document.querySelector(".work .question")?.dataset.fact !== fact,
    order.at(-1),
  );
  assert.ok(next);
  await shop.saved(page);
  await shop.tab(page, "Log");
  await shop.picture(page, "desktop-log");
  const log = await page.locator(".log").textContent();
  assert.match(log, /MK/);
  assert.match(log, /\(taken back\)/);
  assert.match(log, /225\/60R16/);
  assert.match(log, new RegExp(`\\s${WORDS}\\s`));
  assert.deepEqual(faults, []);
  await context.close();
});

test("phone: write-up, road test, bay and log by touch alone", async () => {
  const { page, context, faults } = await shop.device(browser, "phone");
  await page.goto("/");
  await page.waitForSelector(".segment");
  await inOneLine(page, ".segment");
  await shop.newCase(page, "Job 115, red van", "AL");
  await page.fill("#words", "Hums and shakes");
  await page.locator(".question button.main").tap();
  await page.waitForFunction(() => !document.querySelector("#words"));
  while (await page.locator(".said").count())
    await page.getByRole("button", { name: "No", exact: true }).tap();
  for (let fact = "", i = 0; fact !== "tire_size" && i < 25; ++i) {
    await inOneLine(page, ".work .question .actions > *");
    if (i === 2) await shop.picture(page, "phone-question");
    fact = await shop.answerByTouch(page);
  }
  await page.locator(".foot").tap();
  await page.locator("#ranking-up .cause summary").first().tap();
  await page.waitForSelector("#ranking-up .evidence");
  await shop.picture(page, "phone-ranking");
  await page.locator("#ranking-up button.main").tap();

  await shop.tab(page, "Road");
  await page.waitForSelector(".work .ask");
  while (await page.locator("section[aria-label='Before the drive']").count())
    await shop.answerByTouch(page);
  await page.waitForSelector("#acknowledge");
  assert.ok(await page.getByRole("button", { name: "Start the drive" }).isDisabled());
  await shop.picture(page, "phone-start");
  await page.locator("#acknowledge").tap();
  await page.getByRole("button", { name: "Start the drive" }).tap();
  await page.getByRole("button", { name: "5 faster" }).tap();
  await page.getByRole("button", { name: "Strong" }).tap();
  await shop.picture(page, "phone-drive");
  await fits(page, "drive");
  const huge = await page.locator(".huge").boundingBox();
  const foot = await page.locator(".foot").boundingBox();
  assert.ok(huge.y + huge.height <= foot.y, "the large button is on the screen without scrolling");
  await page.locator(".huge").tap();
  await page.getByText("1 tap on this drive").waitFor();
  await page.fill("#hz", "13.6");
  await page.getByRole("button", { name: /Enter it at 65/ }).tap();
  await page.getByRole("button", { name: "Yes, the same" }).tap();
  await page.getByRole("button", { name: "The drive is over" }).tap();
  await page.waitForFunction(() => !document.querySelector(".huge"));
  await page.locator(".lines-part summary").tap();
  await page.waitForSelector(".plot canvas");
  assert.match(await page.locator(".lines-part table").textContent(), /measured at 65/);
  await page.locator(".lines-part table").scrollIntoViewIfNeeded();
  await shop.picture(page, "phone-lines");

  await shop.tab(page, "Bay");
  await page.waitForSelector("#other-check");
  const runout = await page
    .locator("#other-check option")
    .evaluateAll((all) => all.find((one) => /runout/i.test(one.textContent)).value);
  await page.selectOption("#other-check", runout);
  await page.waitForSelector(".places");
  await page.setInputFiles("input[type=file][capture]", {
    name: "a.png",
    mimeType: "image/png",
    buffer: PNG,
  });
  await page.waitForSelector(".photo-choice img");
  const field = page.locator(".inset .question input").first();
  await field.fill("0.06");
  await page.waitForSelector(".finding");
  await fits(page, "bay");
  await page.locator(".inset .question").first().scrollIntoViewIfNeeded();
  await shop.picture(page, "phone-bay");
  await page.locator(".inset .question button.main").first().tap();
  await page.waitForFunction(() => /0\.06 in/.test(document.querySelector(".places")?.textContent));
  await shop.saved(page);
  await shop.tab(page, "Log");
  const log = await page.locator(".log").textContent();
  assert.match(log, /65 mph/);
  assert.match(log, /13\.6 Hz/);
  assert.equal(await page.locator(".log img").count(), 1);
  await shop.tab(page, "Report");
  await page.getByText("The technician").tap();
  await page.locator(".paper img").waitFor();
  assert.match(await page.locator(".paper").textContent(), /0\.06 in/);
  await fits(page, "report");
  await shop.picture(page, "phone-report");
  await shop.tab(page, "Log");
  await fits(page, "log");
  assert.deepEqual(faults, []);
  await context.close();
});

/** A grey square of one pixel. */
const PNG = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==",
  "base64",
);

test("a safety answer stops the drive until the bay lifts it", async () => {
  const { page, context } = await shop.device(browser, "tablet");
  await shop.newCase(page, "Job 116, loose nut");
  await page.getByRole("button", { name: "Skip" }).tap();
  await page.locator(".question .choice").first().tap(); // yes: a nut is loose
  await page.locator(".foot-stop, .beside-work .stop").first().waitFor({ state: "attached" });
  await shop.tab(page, "Road");
  await page.getByText("It must not be driven").waitFor();
  assert.equal(await page.locator(".plan").count(), 0, "no plan of a drive that must not be");
  await shop.picture(page, "tablet-stop");
  assert.equal(await page.getByRole("button", { name: "Start the drive" }).count(), 0);
  await shop.tab(page, "Bay");
  await shop.picture(page, "tablet-lift");
  await page.locator("section[aria-label=Stops] .choice", { hasText: "Yes" }).first().tap();
  await page.waitForFunction(() => !document.querySelector("section[aria-label=Stops]"));
  await shop.tab(page, "Road");
  await page.locator("section[aria-label='Before the drive']").waitFor();
  await context.close();
});

test("a case is closed with its proof and opened again", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  await shop.newCase(page, "Job 117, closed");
  await shop.tab(page, "Bay");
  await page.getByText("Close the case").first().click();
  await page.locator(".closing input[type=checkbox]").first().check();
  await page.fill("#proof", "same road, 62 mph, warm");
  await page.locator(".closing button.main").click();
  await page.getByText("The case is closed").first().waitFor();
  await page.getByRole("button", { name: "Open it again" }).click();
  await page.getByText("Close the case").first().waitFor();
  await context.close();
});

test("what would make the drive dangerous is to be looked at in the bay first", async () => {
  const { page, context, faults } = await shop.device(browser, "phone");
  await shop.newCase(page, "Job 118, after a pothole");
  await page.fill("#words", "Hit a pothole. Steering wheel crooked. Pulls to one side.");
  await page.locator(".question button.main").tap();
  await page.waitForFunction(() => !document.querySelector("#words"));
  while (await page.locator(".said").count()) await page.getByRole("button", { name: "Yes" }).tap();
  await shop.tab(page, "Road");
  const first = page.locator("section[aria-label='In the bay first']");
  await first.getByText("Arm, knuckle or strut bent").waitFor();
  await shop.picture(page, "phone-bay-first");
  await fits(page, "road");
  await first.getByRole("link", { name: "To the bay" }).tap();
  await page.locator(".tabs a[aria-current=page]", { hasText: "Bay" }).waitFor();
  assert.deepEqual(faults, []);
  await context.close();
});
