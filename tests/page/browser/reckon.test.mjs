// Readings of the bay worked out on the page: typed by keyboard alone and by touch, refused in
// words, shown as words, limits, a picture and numbers, kept in the case, also without a network.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser;
let forms;
before(async () => {
  browser = await shop.launch();
  const response = await fetch(`${shop.BASE}/api/answers/bay_tools`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: "{}",
  });
  forms = (await response.json()).tools;
});
after(() => browser.close());

const SHAFT = { length: "1500", diameter: "76.2", wall: "1.65", shaft_speed: "45 Hz" };

/** Presses Tab until that has the focus. */
async function tabTo(page, selector) {
  for (let i = 0; i < 150; ++i) {
    await page.keyboard.press("Tab");
    if (await page.evaluate((wanted) => document.activeElement.matches(wanted), selector)) return;
  }
  assert.fail(`no way to ${selector} by Tab`);
}

const whatOf = (id) => forms.find((form) => form.id === id).what;
const line = (page, id) => page.locator(".reckonings .sheet-line", { hasText: whatOf(id) });
const field = (page, id) => page.locator(`[id$="shaft_speed-${id}"]`);

async function openList(page, id) {
  await shop.tab(page, "Bay");
  await page.locator(".reckonings > summary").click();
  await line(page, id).click();
  await page.waitForSelector(".reckoning");
}

/** Opens a check that learns that. */
async function openCheck(page, fact) {
  await page.waitForSelector("#other-check");
  const check = await page.evaluate(async (wanted) => {
    const response = await fetch("/api/answers/catalogue", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: "{}",
    });
    const { checks } = await response.json();
    return checks.find((one) => one.by === "bay" && one.learns.includes(wanted)).id;
  }, fact);
  await page.selectOption("#other-check", check);
}

async function fillShaft(page, typed = SHAFT) {
  for (const [id, text] of Object.entries(typed)) await field(page, id).fill(text);
}

/** Its words, with single blanks. */
const wordsOf = async (page, selector) =>
  (await page.locator(selector).textContent()).replace(/\s+/g, " ");

/** The log as the server has it. */
async function entriesOf(page, id) {
  const response = await page.request.get(`/api/cases/${id}`);
  return (await response.json()).case.entries;
}

test("by keyboard alone: from the bay to readings, what they say, and into the case", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  const id = await shop.newCase(page, "Job 170, shaft by keyboard");
  await shop.tab(page, "Bay");
  await page.waitForSelector(".reckonings");
  await tabTo(page, ".reckonings > summary");
  await page.keyboard.press("Enter");
  await line(page, "shaft_speed").waitFor();
  const place = forms.findIndex((form) => form.id === "shaft_speed");
  for (let i = 0; i <= place; ++i) await tabTo(page, ".reckonings .sheet-line");
  await page.keyboard.press("Enter");
  await tabTo(page, ".reckoning .segment"); // the front shaft
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await tabTo(page, ".reckoning input");
  await page.keyboard.type("1500 mm");
  await page.keyboard.press("Enter"); // goes on to the next field
  await page.keyboard.type("76.2 mm");
  await page.keyboard.press("Enter");
  await page.keyboard.type("1.65 mm");
  await page.waitForSelector(".reckoned .understood");
  assert.match(await wordsOf(page, ".reckoned"), /begins to whip near \d+ rpm/);
  assert.equal(await page.locator("button.keep").count(), 0, "nothing to keep without its speed");
  await page.keyboard.press("Enter");
  await page.keyboard.type("45 Hz");
  await page.waitForSelector("button.keep");
  const words = await wordsOf(page, ".reckoned");
  assert.match(words, /Good up to .*, bad from/);
  assert.match(words, /rear shaft/);
  assert.ok((await page.locator(".reckoned .caution").count()) > 0);
  assert.match(await wordsOf(page, ".reckoned table"), /Critical speed\s+\d+ rpm\s+\d+ rpm to/);
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.activeElement.matches("button.keep"));
  await page.keyboard.press("Enter");
  await page.getByText("It is in the case.").waitFor();
  await shop.picture(page, "desktop-reckon");
  await shop.saved(page);
  const [entry] = (await entriesOf(page, id)).filter((one) => one.fact === "shaft_speed_share");
  assert.equal(entry.place, "rear_shaft");
  assert.deepEqual(
    { ...entry.with },
    {
      reckoned: "shaft_speed",
      length: "1500 mm",
      diameter: "76.2 mm",
      wall: "1.65 mm",
      shaft_speed: "45 Hz",
    },
  );
  await shop.tab(page, "Log");
  assert.match(await wordsOf(page, ".log"), /from readings: .*length 1500 mm/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("by touch in a check's step: units by choice, and the place that is looked at there", async () => {
  const { page, context, faults } = await shop.device(browser, "phone");
  const id = await shop.newCase(page, "Job 171, shaft by touch");
  await shop.tab(page, "Bay");
  await openCheck(page, "shaft_speed_share");
  await page.locator(".places .choice", { hasText: "rear shaft" }).tap();
  await page.getByRole("button", { name: "Work it out from readings" }).tap();
  await page.waitForSelector(".inset .reckoning");
  assert.equal(
    await page
      .locator(".reckoning .segment[aria-pressed=true]")
      .first()
      .textContent()
      .then((text) => text.trim()),
    "rear shaft",
  );
  await page.locator(".unit-choice").first().selectOption("mm");
  await fillShaft(page);
  await page.locator("button.keep").tap();
  await page.getByText("It is in the case.").waitFor();
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(over <= 0, `hangs over by ${over} px`);
  await page.locator(".reckoned").scrollIntoViewIfNeeded();
  await shop.picture(page, "phone-reckon");
  await shop.saved(page);
  const [entry] = (await entriesOf(page, id)).filter((one) => one.fact === "shaft_speed_share");
  assert.deepEqual(
    [entry.with.length, entry.with.wall, entry.place],
    ["1500 mm", "1.65 mm", "rear_shaft"],
  );
  await page.waitForFunction(() => /0\.47/.test(document.querySelector(".places").textContent));
  assert.deepEqual(faults, []);
  await context.close();
});

test("what cannot be is refused in words beside its field; what is missing is said once", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  await shop.newCase(page, "Job 172, refused");
  await openList(page, "shaft_speed");
  await field(page, "length").fill("about as long as the car");
  await page.locator(".field .problem").waitFor();
  const problem = await field(page, "length").evaluate((one) => {
    const ids = one.getAttribute("aria-describedby").split(" ");
    return ids.map((id) => document.getElementById(id).textContent).join(" ");
  });
  assert.match(problem, /does not begin with a number/);
  assert.equal(await field(page, "length").getAttribute("aria-invalid"), "true");
  assert.match(await wordsOf(page, ".reckoned"), /Still needed: Outside diameter, Wall thickness/);
  await field(page, "length").fill("90 m");
  await page.getByText(/cannot be 90 m/).waitFor();
  await field(page, "length").fill("1500 mm");
  await page.waitForFunction(() => !document.querySelector(".field .problem"));
  await context.close();
});

test("what was typed outlives another view, a reload and emptying; kept readings come back elsewhere", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  const id = await shop.newCase(page, "Job 173, comes back");
  await openList(page, "shaft_speed");
  await page.locator(".unit-choice").first().selectOption("mm");
  await fillShaft(page);
  await page.waitForSelector(".reckoned .understood");
  await shop.tab(page, "Log");
  await shop.tab(page, "Bay");
  assert.equal(await field(page, "length").inputValue(), "1500");
  await page.waitForTimeout(400); // until it is on the device
  await page.reload();
  await page.locator(".reckonings > summary").click();
  await line(page, "shaft_speed").click();
  await page.waitForFunction(
    () => document.querySelector("[id$=shaft_speed-length]")?.value === "1500",
  );
  await page.getByRole("button", { name: "Empty the form" }).click();
  assert.equal(await field(page, "length").inputValue(), "");
  await page.getByRole("button", { name: "Bring back what was typed" }).click();
  assert.equal(await field(page, "wall").inputValue(), "1.65");
  await page.locator(".reckoning .segment", { hasText: "rear shaft" }).click();
  await page.locator("button.keep").click();
  await page.getByText("It is in the case.").waitFor();
  await shop.saved(page);
  await context.close();

  const other = await shop.device(browser, "tablet");
  await other.page.goto(`/#/case/${id}/bay`);
  await other.page.locator(".reckonings > summary").tap();
  await line(other.page, "shaft_speed").tap();
  await other.page.getByRole("button", { name: /^Take its readings up again/ }).tap();
  assert.equal(await field(other.page, "diameter").inputValue(), "76.2");
  await other.page.getByText("It is in the case.").waitFor();
  await other.context.close();
});

const cell = (page, row, column = 0) =>
  page.locator(`.cells input[data-field=readings][data-row="${row}"][data-column="${column}"]`);

test("readings round a turn: Enter and arrow keys go on, rows come and go, a picture stands there", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  const id = await shop.newCase(page, "Job 175, round a turn");
  await openList(page, "runout");
  await page.locator(".reckoning .segment", { hasText: "left front" }).click();
  await page.locator(".cells .unit-choice").first().selectOption("mm");
  await cell(page, 0).focus();
  await page.keyboard.type("0.10");
  await page.keyboard.press("Enter"); // to the place, which stays empty
  await page.keyboard.press("Enter");
  const turn = ["0.35", "0.60", "0.65", "0.50", "0.25", "0.05"]; // more than there are rows at first
  for (const reading of turn) {
    await page.keyboard.type(reading);
    await page.keyboard.press("Enter");
  }
  await page.keyboard.type("0.02");
  await page.waitForSelector(".reckoned .understood");
  assert.equal(await cell(page, 7).inputValue(), "0.02");
  assert.equal(await page.locator(".cells [data-field=readings][data-column='0']").count(), 8);
  const frame = await page.locator(".reckoned svg.perrev-plot").first().getAttribute("width");
  const readings = await page.locator(".reckoned svg.perrev-plot title").first().textContent();
  assert.ok(readings.length > 3, "the picture has a name");
  assert.ok(Number(frame) > 460, "there is room for a wide one");
  assert.equal(await page.locator(".reckoned svg style").count(), 0);
  const [ink, paper] = await page.evaluate(() => {
    const picture = document.querySelector(".reckoned svg");
    return [
      getComputedStyle(picture).color,
      getComputedStyle(picture.querySelector(".paper")).fill,
    ];
  });
  assert.notEqual(ink, paper, "the picture has its colours");
  await shop.picture(page, "desktop-reckon-round");
  await shop.picture(page.locator(".reckoned").first(), "desktop-reckoned");

  await page.keyboard.press("ArrowUp");
  await page.keyboard.press("ArrowUp");
  await page.waitForFunction(() => document.activeElement.dataset.row === "5");
  await page.keyboard.type("not");
  await page.getByText(/^\s*Row 6: .*does not begin with a number/).waitFor();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowUp");
  await page.keyboard.type("0.25");
  await page.waitForSelector("button.keep");
  await page.getByRole("button", { name: "Remove row 8" }).click();
  await page.waitForFunction(() => document.activeElement.dataset.row === "6");
  await page.keyboard.press("ArrowDown"); // one comes where the last is filled
  await page.waitForFunction(() => document.activeElement.dataset.row === "7");
  await page.keyboard.type("0.02");
  await page.waitForFunction(() => !document.querySelector(".reckoned.stale"));
  await page.locator("button.keep").click();
  await page.getByText("It is in the case.").waitFor();
  await shop.saved(page);
  const kept = (await entriesOf(page, id)).find((one) => one.with?.reckoned === "runout");
  assert.equal(kept.place, "left_front");
  assert.match(kept.with.readings, /^0\.10 mm.*; 0\.35 mm.*; 0\.02 mm/);

  // Another wheel has readings of its own.
  await page.locator(".reckoning .segment", { hasText: "right front" }).click();
  assert.equal(await cell(page, 0).inputValue(), "");
  await page.locator(".reckoning .segment", { hasText: "left front" }).click();
  assert.equal(await cell(page, 3).inputValue(), "0.65");
  assert.deepEqual(faults, []);
  await context.close();
});

const WORDS = /^\s*Work it out from readings/;

test("a plot fits a phone: neither shrunk nor slid", async () => {
  const { page, context, faults } = await shop.device(browser, "phone");
  await shop.newCase(page, "Job 179, plot on a phone");
  await openList(page, "runout");
  for (const [row, reading] of ["0.10", "0.60", "0.50", "0.05"].entries())
    await cell(page, row).fill(`${reading} mm`);
  const plot = page.locator(".reckoned svg.perrev-plot").first();
  await plot.waitFor();
  const [drawn, meant, room] = await plot.evaluate((picture) => [
    picture.getBoundingClientRect().width,
    Number(picture.getAttribute("width")),
    document.documentElement.clientWidth,
  ]);
  assert.ok(meant <= room, `${meant} px in ${room} px`);
  assert.ok(drawn > 0.85 * meant, `drawn ${drawn} px of ${meant}`);
  assert.equal(await page.locator(".reckoned-picture.broad").count(), 0);
  await plot.scrollIntoViewIfNeeded();
  await shop.picture(page, "phone-reckon-round");
  assert.deepEqual(faults, []);
  await context.close();
});

test("a choice that feeds what the check is about is made already, and only there", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await shop.newCase(page, "Job 177, choice by fact");
  await shop.tab(page, "Bay");
  for (const [fact, where] of [
    ["hub_face_runout", "hub_face"],
    ["rim_radial_runout", "rim_radial"],
  ]) {
    await openCheck(page, fact);
    await page.getByRole("button", { name: WORDS }).filter({ hasText: "Runout" }).first().click();
    const chosen = page.locator("[id$=runout-where]");
    await chosen.waitFor();
    assert.equal(await chosen.inputValue(), where);
    await page.getByRole("button", { name: WORDS }).filter({ hasText: "Runout" }).first().click();
  }
  // Read as it came in: that is what this check is.
  await openCheck(page, "residual_static");
  await page.getByRole("button", { name: WORDS }).filter({ hasText: "Wheel balance" }).click();
  const chosen = (name) => page.locator(".segment[aria-pressed=true]", { hasText: name });
  await chosen("On it, as it came in").waitFor();
  assert.equal(await chosen("Taken off before").count(), 0);
  // Anywhere else the wheel was stripped before, unless it is said.
  await page.getByRole("button", { name: WORDS }).filter({ hasText: "Wheel balance" }).click();
  await page.locator(".reckonings > summary").click();
  await line(page, "balance").click();
  await chosen("Taken off before").waitFor();
  assert.equal(await chosen("On it, as it came in").count(), 0);
  assert.deepEqual(faults, []);
  await context.close();
});

/** Keys of what the device keeps for a case beside its log. */
const keptOf = (page, id) =>
  page.evaluate(
    (of) =>
      new Promise((done) => {
        const asked = indexedDB.open("perrev");
        asked.onsuccess = () => {
          const keys = asked.result.transaction("kept").objectStore("kept").getAllKeys();
          keys.onsuccess = () => {
            asked.result.close();
            done(keys.result.filter((key) => key.startsWith(`reckoning ${of} `)));
          };
        };
      }),
    id,
  );

test("drafts go with the case that is closed, and after a month that nobody came back", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  const id = await shop.newCase(page, "Job 178, drafts go");
  await openList(page, "shaft_speed");
  await page.locator(".unit-choice").first().selectOption("mm");
  await fillShaft(page);
  await page.waitForSelector(".reckoned .understood");
  await page.waitForTimeout(400); // until it is on the device
  await page.evaluate(async (of) => {
    const { keep } = await import("/db.js");
    const saved = Date.now() - 31 * 24 * 60 * 60 * 1000;
    await keep(`reckoning ${of} list nuts`, { texts: { stated: "90" }, saved });
    await keep("reckoning gone list nuts", { texts: { stated: "90" }, saved: Date.now() });
  }, id);
  assert.equal((await keptOf(page, id)).length, 2);
  await page.reload();
  await page.waitForSelector(".reckonings");
  await page.waitForTimeout(300);
  assert.deepEqual(await keptOf(page, id), [`reckoning ${id} list shaft_speed`]);
  assert.deepEqual(await keptOf(page, "gone"), []);
  await page.locator(".closing > summary").click();
  await page.fill("#proof", "same road, 70 mph, warm");
  await page.locator(".closing button.main").click();
  await page.getByText("The case is closed").first().waitFor();
  await page.waitForTimeout(300);
  assert.deepEqual(await keptOf(page, id), []);
  assert.deepEqual(faults, []);
  await context.close();
});

test("where several limits may apply one is chosen, and another one again", async () => {
  const { page, context, faults } = await shop.device(browser, "tablet");
  await shop.newCase(page, "Job 176, which limit");
  await openList(page, "match_mount");
  const typed = { tire_force: "90 N", tire_place: "70", rim_runout: "0.30 mm", rim_place: "200" };
  for (const [id, text] of Object.entries(typed))
    await page.locator(`[id$="match_mount-${id}"]`).fill(text);
  await page.locator(".against .segment", { hasText: "alloy" }).tap();
  await page.locator(".against .finding.good").waitFor();
  await page.getByRole("button", { name: "Not alloy: choose another limit" }).tap();
  await page.locator(".against .segment", { hasText: "steel" }).waitFor();
  assert.equal(await page.locator(".against .finding").count(), 0);
  const arrows = await page.locator(".reckoned svg .legend").allTextContents();
  assert.ok(arrows.length >= 3, `the dial says what its arrows are: ${arrows}`);
  assert.deepEqual(faults, []);
  await context.close();
});

test("without a network the device works it out, keeps it, and sends it later", async () => {
  const { page, context, faults } = await shop.device(browser, "phone", { colorScheme: "dark" });
  const id = await shop.newCase(page, "Job 174, no network");
  await shop.workerReady(page);
  await page.waitForFunction(async () => (await (await caches.open("rules")).keys()).length > 0);
  await context.setOffline(true);
  await page.reload();
  await openList(page, "shaft_speed");
  await page.locator(".unit-choice").first().selectOption("mm");
  await fillShaft(page);
  await page.locator(".reckoning .segment", { hasText: "rear shaft" }).tap();
  await page.locator("button.keep").tap();
  await page.getByText("It is in the case.").waitFor();
  await page.reload();
  await page.locator(".reckonings > summary").tap();
  await line(page, "shaft_speed").tap();
  await page.getByText("It is in the case.").waitFor();
  await context.setOffline(false);
  await shop.saved(page);
  const kept = (await entriesOf(page, id)).filter((one) => one.with?.reckoned === "shaft_speed");
  assert.equal(kept.length, 1);
  assert.deepEqual(faults, []);
  await context.close();
});
