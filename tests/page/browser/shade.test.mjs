// Light or dark as this device was told, whatever the device itself prefers: the page and the report
// on it; what is printed is always light.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser, id;
before(async () => {
  browser = await shop.launch();
  id = await shop.caseWithReasons(browser, "Job 173, light and dark");
});
after(() => browser.close());

/** How bright the ground and the letters of an element are, 0 to 255. */
const brightness = (page, at) =>
  page.evaluate((selector) => {
    const style = getComputedStyle(document.querySelector(selector));
    const mean = (colour) => {
      const [r, g, b] = colour.match(/[\d.]+/g).map(Number);
      return (r + g + b) / 3;
    };
    return { ground: mean(style.backgroundColor), ink: mean(style.color) };
  }, at);
const isDark = ({ ground, ink }) => ground < 60 && ink > 200;
const isLight = ({ ground, ink }) => ground > 230 && ink < 60;

for (const [colorScheme, chosen, is] of [
  ["light", "As the device", isLight],
  ["dark", "As the device", isDark],
  ["light", "Dark", isDark],
  ["dark", "Light", isLight],
])
  test(`a device that prefers ${colorScheme}, told "${chosen}"`, async () => {
    const { page, context, faults } = await shop.device(browser, "phone", { colorScheme });
    await page.goto("/#/device");
    await page.getByRole("button", { name: chosen, exact: true }).click();
    await page.goto(`/#/case/${id}/report`);
    const shown = async () => {
      await page.locator(".report").waitFor();
      await page.waitForFunction(() =>
        [...document.styleSheets].some((sheet) => sheet.href?.endsWith("/report.css")),
      );
      for (const at of ["body", ".report"]) {
        const seen = await brightness(page, at);
        assert.ok(is(seen), `${at}: ${JSON.stringify(seen)}`);
      }
    };
    await shown();
    await page.reload();
    await shown();
    await page.emulateMedia({ media: "print" });
    assert.ok(isLight(await brightness(page, "body")), "paper");
    assert.ok(isLight(await brightness(page, ".report")), "paper");
    assert.deepEqual(faults, []);
    await context.close();
  });
