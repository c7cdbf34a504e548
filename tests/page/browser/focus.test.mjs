// What had the focus goes off the screen when it is answered: the focus goes to what came in its place,
// never to the top of the page.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser;
before(async () => {
  browser = await shop.launch();
});
after(() => browser.close());

const onDesk = async (label) => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await shop.newCase(page, label);
  return { page, context, faults };
};
const focused = (page, selector, words) =>
  page.waitForFunction(
    ([at, text]) => {
      const one = document.activeElement;
      return one.matches(at) && one.textContent.includes(text);
    },
    [selector, words],
  );

/** By keyboard, as somebody who cannot see would. */
async function press(page, button) {
  await button.focus();
  await page.keyboard.press("Enter");
}

test("each proposal of the customer's words, and the question after the last", async () => {
  const { page, context, faults } = await onDesk("Job 174, proposals");
  await page.fill("#words", "Steering wheel shakes at 65 mph since new tires");
  await page.locator(".question button.main").click();
  await page.waitForSelector(".said");
  let proposals = 0;
  for (; await page.locator(".said").count(); ++proposals) {
    const before = await page.locator(".work strong").first().textContent();
    await press(page, page.getByRole("button", { name: "Yes" }));
    await page.waitForFunction(
      (text) => document.querySelector(".work strong")?.textContent !== text,
      before,
    );
    await focused(page, ".ask", "");
  }
  assert.ok(proposals > 1, `${proposals} proposals`);
  assert.deepEqual(faults, []);
  await context.close();
});

test("the questions before the drive, its start and its end", async () => {
  const { page, context, faults } = await onDesk("Job 175, to the road");
  await shop.tab(page, "Road");
  const gate = page.locator("section[aria-label='Before the drive'] .question");
  await gate.waitFor();
  for (let i = 0; i < 20 && (await gate.count()); ++i) {
    const fact = await gate.getAttribute("data-fact");
    await press(page, gate.locator(".choice").nth((shop.CLEAR[fact] ?? 1) - 1));
    await page.waitForFunction(
      (before) => document.querySelector(".work .question")?.dataset.fact !== before,
      fact,
    );
    await focused(page, ".ask", "");
  }
  await focused(page, ".ask", "Before you start");
  await page.locator("#acknowledge").check();
  await press(page, page.getByRole("button", { name: "Start the drive" }));
  await focused(page, ".tap button", "");
  await press(page, page.getByRole("button", { name: "The drive is over" }));
  await focused(page, ".ask", "Before you drive again");
  assert.equal(await page.getByRole("link", { name: "Go on to the bay" }).count(), 1);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a line of the sheet, and readings typed at one place after the other", async () => {
  const { page, context, faults } = await onDesk("Job 176, sheet and readings");
  await page.getByRole("button", { name: "All questions as a sheet" }).click();
  const line = page.locator(".sheet .sheet-line").first();
  const asks = await line.locator("span").first().textContent();
  await line.click();
  await press(page, page.locator(".inset .choice").last());
  await focused(page, ".sheet-line", asks);
  await shop.tab(page, "Bay");
  await page.selectOption("#other-check", { label: "Read runout of tread and sidewall, on the car" });
  const fields = page.locator(".places-of .question input");
  await fields.first().waitFor();
  const first = await fields.first().getAttribute("id");
  await fields.first().fill("0.02");
  await page.keyboard.press("Enter");
  await page.waitForFunction((id) => !document.getElementById(id), first);
  await focused(page, ".places-of .question input", "");
  assert.deepEqual(faults, []);
  await context.close();
});
