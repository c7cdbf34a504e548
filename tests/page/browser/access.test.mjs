// Every view by axe-core (WCAG 2.2 A and AA), in light and dark, at every size; and what no tool
// sees: size of what is touched, nothing cut off, focus on the new heading.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

let browser;
let id;
before(async () => {
  browser = await shop.launch();
  const { page, context } = await shop.device(browser, "desktop");
  id = await shop.newCase(page, "Job 140, for all to read");
  await page.fill("#words", "Shakes at 62 mph");
  await page.locator(".question button.main").click();
  await page.waitForFunction(() => !document.querySelector("#words"));
  while (await page.locator(".said").count())
    await page.getByRole("button", { name: "No" }).click();
  for (let i = 0; i < 11; ++i) await shop.answerByKeys(page);
  await shop.saved(page);
  await context.close();
});
after(() => browser.close());

const VIEWS = {
  cases: "/#/",
  new: "/#/new",
  device: "/#/device",
  write_up: () => `/#/case/${id}/write_up`,
  road: () => `/#/case/${id}/road`,
  felt: () => `/#/case/${id}/road`,
  bay: () => `/#/case/${id}/bay`,
  reckon: () => `/#/case/${id}/bay`,
  recording: () => `/#/case/${id}/bay`,
  report: () => `/#/case/${id}/report`,
  log: () => `/#/case/${id}/log`,
  rules: "/#/rules",
  rule: () => `/#/rules/rule/began_after_tires?case=${id}`,
  rule_cause: () => `/#/rules/cause/bent_rim_radial?case=${id}`,
  rule_fact: "/#/rules/fact/felt_at",
  rule_check: () => `/#/rules/check/drive_listen?case=${id}`,
  graph_path: () => `/#/rules/graph/path/cause/bent_rim_radial/1?case=${id}`,
  graph_evidence: "/#/rules/graph/evidence/fact/felt_at/1",
};

/** What is there once a view has all that it shows. */
const READY = {
  felt: ".work .felt svg",
  reckon: ".reckoned svg",
  recording: ".recorded > p",
  rules: ".things",
  rule: ".stands",
  rule_cause: ".stands",
  rule_fact: ".stands",
  rule_check: ".stands",
  graph_path: ".vertex",
  graph_evidence: ".vertex",
};
/** What is opened first. */
const OPENED = {
  felt: (page) => page.locator(".work .felt > summary").click(),
  reckon: async (page) => {
    await page.locator(".reckonings > summary").click();
    await page
      .locator(".reckonings .sheet-line", { hasText: "From dial readings round a turn" })
      .click();
    await page.locator(".cells .unit-choice").first().selectOption("mm");
    for (const [row, reading] of ["0.1", "0.5", "0.4", "0.05"].entries())
      await page.locator(`.cells [data-row="${row}"][data-column="0"]`).fill(reading);
  },
  recording: async (page) => {
    await page.selectOption("#other-check", "hoist_record");
    await page.getByRole("button", { name: "Record the vibration, or read a recording" }).click();
    await page.getByText("Where the speed is not in the file").click();
    const rows = Array.from({ length: 3000 }, (_, i) => [i / 100, 9.8 + Math.sin(i) / 5, 27]);
    const buffer = Buffer.from(`time_s,az_mps2,gps_speed_mps\n${rows.join("\n")}\n`);
    const file = { name: "drive.csv", mimeType: "text/csv", buffer };
    await page.setInputFiles("#hoist_record-file", file);
  },
};
const RANKED = ".foot .percent, .beside-work .percent";

async function problemsOf(page) {
  const found = await page.evaluate(
    (tags) => globalThis.axe.run(document, { runOnly: tags }),
    TAGS,
  );
  assert.ok(found.passes.length > 5, "the checker has looked at something");
  return found.violations.map(
    ({ id: rule, nodes }) => `${rule}: ${nodes.map((node) => node.target.join(" ")).join(", ")}`,
  );
}

/** Controls under 48 px high that are not words in a line of text. */
const smallOnes = () =>
  [...document.querySelectorAll("button, a.button, select, input, summary, .tabs a")]
    .filter(
      (one) =>
        one.checkVisibility() && !one.classList.contains("unseen") && one.type !== "checkbox",
    )
    .filter((one) => one.getBoundingClientRect().height < 47.5)
    .map((one) => one.outerHTML.slice(0, 80));

for (const size of Object.keys(shop.SIZES))
  for (const colorScheme of ["light", "dark"])
    test(`${size}, ${colorScheme}: every view`, async () => {
      // The page's policy forbids foreign scripts, so the checker is let in past it.
      const { page, context } = await shop.device(browser, size, { colorScheme, bypassCSP: true });
      await page.addInitScript(AXE);
      for (const [name, where] of Object.entries(VIEWS)) {
        await page.goto(typeof where === "string" ? where : where());
        await page.waitForSelector("main h1");
        await OPENED[name]?.(page);
        const ready = READY[name] ?? (typeof where === "string" ? null : RANKED);
        if (ready) await page.waitForSelector(ready, { state: "attached" });
        await page.waitForTimeout(200);
        await shop.picture(page, `${name}-${size}-${colorScheme}`);
        assert.deepEqual(await problemsOf(page), [], name);
        assert.deepEqual(await page.evaluate(smallOnes), [], `${name}: small`);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        assert.ok(wide <= 0, `${name} hangs over by ${wide} px`);
      }
      await context.close();
    });

test("a change of view moves the focus to its heading and changes the title; back works", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  await page.goto(`/#/case/${id}/write_up`);
  await page.waitForSelector(".work .question");
  await shop.tab(page, "Bay");
  await page.waitForFunction(() => document.activeElement?.tagName === "H1");
  assert.match(await page.title(), /^Bay/);
  await page.goBack();
  await page.waitForSelector(".work .question .ask");
  assert.match(await page.title(), /^Write-up/);
  await context.close();
});

test("the way to the content leads there, and nowhere else", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  await page.goto("/#/device");
  await page.waitForSelector("main h1");
  await page.locator(".skip").focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.activeElement?.tagName === "H1");
  assert.match(page.url(), /#\/device$/);
  await context.close();
});

test("the first paint needs less than 300 KB", async () => {
  const counter = await shop.device(browser, "desktop");
  const id = await shop.newCase(counter.page, "Job 150, first paint");
  await shop.saved(counter.page);
  await counter.context.close();
  for (const [address, shown] of [
    ["/", "main h1"],
    [`/#/case/${id}/write_up`, "#words"],
  ]) {
    const { page, context } = await shop.device(browser, "phone");
    await page.goto(address);
    const bytes = await page.waitForSelector(shown).then((one) =>
      one.evaluate(() =>
        performance
          .getEntries()
          .filter((entry) => entry.transferSize !== undefined)
          .reduce((sum, entry) => sum + entry.transferSize, 0),
      ),
    );
    console.log(`${Math.round(bytes / 1024)} KB when ${shown} is there`);
    assert.ok(bytes > 10000 && bytes < 300 * 1024, `${address}: ${bytes} bytes`);
    await context.close();
  }
});
