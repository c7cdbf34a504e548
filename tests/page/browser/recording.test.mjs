// Recordings on the page: a file by keyboard, dropped, refused and asked about; this device's sensor
// on a drive; what they show, into the case, held against the one before the repair.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { drive, SPEED, TIRE } from "../recorded.mjs";
import * as shop from "./shop.mjs";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
const OPENER = "Record the vibration, or read a recording";

let browser;
before(async () => {
  browser = await shop.launch();
});
after(() => browser.close());

function fileOf(more = {}, { speeds = true, header } = {}) {
  const { sweep = 0, seconds = 40 } = more;
  const names = header ?? `time_s,ax_mps2,ay_mps2,az_mps2${speeds ? ",gps_speed_mps" : ""}`;
  const speedAt = (at) => (SPEED + (sweep * at) / seconds).toFixed(3);
  const rows = drive(more).map(
    (row) => row.map((one) => one.toFixed(5)).join(",") + (speeds ? `,${speedAt(row[0])}` : ""),
  );
  return Buffer.from(`${names}\n${rows.join("\n")}\n`);
}

const csv = (name, buffer) => ({ name, mimeType: "text/csv", buffer });

async function tabTo(page, selector) {
  for (let i = 0; i < 80; ++i) {
    await page.keyboard.press("Tab");
    if (await page.evaluate((wanted) => document.activeElement.matches(wanted), selector)) return;
  }
  assert.fail(`no way to ${selector} by Tab`);
}

async function inBay(page, label) {
  const id = await shop.newCase(page, label);
  await shop.tab(page, "Bay");
  await page.waitForSelector("#other-check");
  await page.selectOption("#other-check", "hoist_record");
  await page.getByRole("button", { name: OPENER }).waitFor();
  return id;
}

async function openRoom(page) {
  await page.getByRole("button", { name: OPENER }).click();
  await page.waitForSelector(".recording .drop");
}

async function entriesOf(page, id) {
  const response = await page.request.get(`/api/cases/${id}`);
  return (await response.json()).case.entries;
}

const shown = (page) => page.waitForSelector(".recorded .understood", { timeout: 30000 });

async function looksRight(page, name) {
  await page.evaluate(AXE);
  const found = await page.evaluate((tags) => globalThis.axe.run(document, { runOnly: tags }), TAGS);
  assert.ok(found.passes.length > 5, "the checker has looked at something");
  assert.deepEqual(
    found.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(" "))}`),
    [],
    name,
  );
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(over <= 0, `${name} hangs over by ${over} px`);
}

const whole = { fullPage: true };

test("by keyboard: a file is chosen, read, shown and put into the case", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  const id = await inBay(page, "Job 190, recorded on the hoist");
  await page.getByRole("button", { name: OPENER }).focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector(".recording .drop");
  await tabTo(page, "#hoist_record-file");
  const [choosing] = await Promise.all([
    page.waitForEvent("filechooser"),
    page.keyboard.press("Space"),
  ]);
  await choosing.setFiles(csv("sweep.csv", fileOf({ sweep: 12 })));
  await shown(page);
  const words = await page.locator(".recorded").textContent();
  assert.match(words, /stands out most/);
  assert.match(words, /ISO 2631-1/);
  assert.equal(await page.locator(".recorded-picture > svg").count(), 3);
  await tabTo(page, ".recorded button.keep");
  await page.keyboard.press("Enter");
  await page.getByText("It is in the case.").waitFor();
  await shop.saved(page);
  const entries = await entriesOf(page, id);
  const measured = entries.find((entry) => entry.fact === "measured_frequency");
  assert.equal(measured.by, "bay");
  assert.match(String(measured.value), /^1[3-8]\.\d+ Hz/);
  assert.match(measured.with.speed, /km\/h$/);
  assert.ok(entries.some((entry) => entry.fact === "worst_speed"));
  await shop.picture(page, "desktop-recording", whole);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a file that is dropped; the one after the repair is held against it", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await inBay(page, "Job 191, before and after");
  await openRoom(page);
  const text = fileOf().toString();
  await page.evaluate((content) => {
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File([content], "before.csv", { type: "text/csv" }));
    const drop = document.querySelector(".drop");
    for (const type of ["dragover", "drop"])
      drop.dispatchEvent(new DragEvent(type, { dataTransfer, bubbles: true, cancelable: true }));
  }, text);
  await shown(page);
  await page.setInputFiles("#hoist_record-file", csv("after.csv", fileOf({ amplitude: 0.05 })));
  await page.getByRole("heading", { name: "Against before.csv" }).waitFor();
  const words = await page.locator(".recorded section").textContent();
  assert.match(words, /before, [\d.]+ after/);
  assert.match(words, /of what it was/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("what the engine cannot know is asked for in its words; then it is read", async () => {
  const { page, context, faults } = await shop.device(browser, "tablet");
  await inBay(page, "Job 192, which unit");
  await openRoom(page);
  const header = "time_s,ax_mps2,ay_mps2,az_mps2,speed";
  await page.setInputFiles("#hoist_record-file", csv("no_unit.csv", fileOf({}, { header })));
  await page.getByText(/nothing says in which unit/).waitFor();
  await page.locator(".segment", { hasText: /^\s*m\/s\s*$/ }).tap();
  await page.getByRole("button", { name: "Read no_unit.csv again" }).tap();
  await shown(page);
  assert.equal(await page.locator(".recording .problem").count(), 0);
  await page.setInputFiles("#hoist_record-file", csv("notes.csv", Buffer.from("nothing to read\n")));
  await page.locator(".recording .problem").waitFor();
  assert.deepEqual(faults, []);
  await context.close();
});

for (const [size, colorScheme] of [["desktop", "light"], ["phone", "dark"]])
  test(`${size}, ${colorScheme}: columns whose names say nothing are named in a form`, async () => {
    const { page, context, faults } = await shop.device(browser, size, { colorScheme, bypassCSP: true });
    await inBay(page, `Job 199, columns, ${size}`);
    await openRoom(page);
    const header = "A,B,C,D,E";
    await page.setInputFiles("#hoist_record-file", csv("logger.csv", fileOf({ sweep: 12 }, { header })));
    await page.locator(".recording .problem", { hasText: "no line names columns" }).waitFor();
    const choose = (label, option) => page.getByLabel(label, { exact: true }).selectOption(option);
    for (const [label, column] of [
      ["Time", "A"],
      ["Acceleration ahead", "B"],
      ["Acceleration to the left", "C"],
      ["Acceleration upward", "D"],
      ["Speed", "E"],
    ])
      await choose(label, column);
    await choose("Unit of the times", "s");
    await choose("Unit of the speeds", "m/s");
    await choose("Unit of the accelerations", "m/s2");
    await looksRight(page, "the form for columns");
    await page.locator(".columns-form").scrollIntoViewIfNeeded();
    await shop.picture(page, `${size}-recording-columns`, whole);
    await page.getByRole("button", { name: "Read logger.csv again" }).click();
    await shown(page);
    assert.equal(await page.locator(".recording .problem").count(), 0);
    assert.match(await page.locator(".recorded").textContent(), /stands out most/);
    await page.locator(".recorded summary", { hasText: "Read:" }).click();
    assert.match(await page.locator(".recorded").textContent(), /up: D \(m\/s2\)/);
    assert.deepEqual(faults, []);
    await context.close();
  });

test("a column that was read wrongly is said otherwise, and one without a time gets a rate", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await inBay(page, "Job 200, columns again");
  await openRoom(page);
  await page.setInputFiles("#hoist_record-file", csv("shake.csv", fileOf()));
  await shown(page);
  assert.equal(await page.locator(".columns-form").getAttribute("open"), null);
  await page.getByText("Which column is what").click();
  const choose = (label, option) => page.getByLabel(label, { exact: true }).selectOption(option);
  assert.equal(await page.getByLabel("Acceleration ahead", { exact: true }).inputValue(), "ax_mps2");
  await choose("Acceleration to the left", "ax_mps2");
  assert.equal(await page.getByLabel("Acceleration ahead", { exact: true }).inputValue(), "");
  await choose("Time", "");
  await page.getByLabel("Rows a second").fill("100");
  await page.getByRole("button", { name: "Read shake.csv again" }).click();
  await shown(page);
  await page.locator(".recorded summary", { hasText: "Read:" }).click();
  const words = await page.locator(".recorded").textContent();
  assert.match(words, /left: ax_mps2/);
  assert.doesNotMatch(words, /ahead:|time:/);
  assert.match(words, /Read: (39|40) s at 100/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("speeds in a file of their own, with another clock", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await inBay(page, "Job 193, two files");
  await openRoom(page);
  await page.getByText("Where the speed is not in the file").click();
  const rows = Array.from({ length: 60 }, (_, i) => `${i - 10},${SPEED}`);
  const speeds = Buffer.from(`time_s,gps_speed_mps\n${rows.join("\n")}\n`);
  await page.setInputFiles("#hoist_record-speeds", csv("speeds.csv", speeds));
  await page.getByText("Speeds: speeds.csv").waitFor();
  await page.setInputFiles("#hoist_record-file", csv("shake.csv", fileOf({}, { speeds: false })));
  await shown(page);
  await page.locator(".recorded summary", { hasText: "Read:" }).click();
  assert.match(await page.locator(".recorded details", { hasText: "Read:" }).textContent(), /clocks of the two files/);
  assert.match(await page.locator(".recorded").textContent(), /stands out most/);
  assert.deepEqual(faults, []);
  await context.close();
});

/** On a drive, with the room open and this device chosen. */
async function onTheRoad(page, label) {
  const id = await shop.newCase(page, label);
  await shop.tab(page, "Road");
  await page.waitForSelector(".work .ask");
  while (await page.locator("section[aria-label='Before the drive']").count())
    await shop.answerByTouch(page);
  await page.locator("#acknowledge").tap();
  await page.getByRole("button", { name: "Start the drive" }).tap();
  await page.getByRole("button", { name: OPENER }).tap();
  await page.locator(".recording .segment", { hasText: "With this device" }).tap();
  return id;
}

/** A satellite receiver that gives what `globalThis.give` is told, or refuses. */
const satellites = (refuses) => {
  const watchPosition = (told, failed) => {
    if (refuses) setTimeout(() => failed({ code: 1 }));
    globalThis.give = told;
    return 1;
  };
  Object.defineProperty(navigator, "geolocation", { value: { watchPosition, clearWatch() {} } });
};

/** Readings as the device lies: its right, its top, up. */
const feed = (page, rows, speed) =>
  page.evaluate(
    ([all, metresPerSecond]) => {
      const begun = performance.now();
      for (const [at, ahead, left, up] of all) {
        const event = new DeviceMotionEvent("devicemotion", {
          accelerationIncludingGravity: { x: -left, y: ahead, z: up },
        });
        Object.defineProperty(event, "timeStamp", { value: begun + 1000 * at });
        dispatchEvent(event);
        if (metresPerSecond && at % 1 === 0)
          globalThis.give({
            coords: { speed: metresPerSecond },
            timestamp: performance.timeOrigin + begun + 1000 * at,
          });
      }
    },
    [rows, speed],
  );

for (const colorScheme of ["light", "dark"])
  test(`${colorScheme}: the phone on the seat rail records, with speeds by satellite`, async () => {
    const { page, context, faults } = await shop.device(browser, "phone", {
      colorScheme,
      bypassCSP: true,
    });
    await page.addInitScript(satellites, false);
    const id = await onTheRoad(page, `Job 194, by phone, ${colorScheme}`);
    await page.getByText("The driver drives and does not touch this. The passenger starts").waitFor();
    await looksRight(page, "before it is recorded");
    await page.getByRole("button", { name: "Start recording" }).tap();
    await feed(page, drive(), SPEED);
    await page.getByText("39 s of at least 30 s").waitFor();
    await page.getByText(/100 readings a second/).waitFor();
    await page.getByText("no gaps").waitFor();
    await page.getByText("60 mph by satellite").waitFor();
    await page.locator(".recording-now").scrollIntoViewIfNeeded();
    await shop.picture(page, `phone-recording-now-${colorScheme}`);
    await page.getByRole("button", { name: "Stop recording" }).tap();
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "Save it as a file" }).tap(),
    ]);
    const text = readFileSync(await download.path(), "utf8");
    assert.match(download.suggestedFilename(), /^recording-.*\.csv$/);
    assert.match(text, /^time_s,ax_mps2,ay_mps2,az_mps2,speed_mps\n0,-?[\d.]+,-?[\d.]+,9\.\d+,/);
    assert.equal(text.trim().split("\n").length, 4001);
    await page.getByRole("button", { name: "Read it" }).tap();
    await shown(page);
    await page.locator(".recorded button.keep").tap();
    await page.getByText("It is in the case.").waitFor();
    await looksRight(page, "a recording");
    await shop.picture(page, `phone-recording-${colorScheme}`, whole);
    await shop.saved(page);
    const measured = (await entriesOf(page, id)).find((one) => one.fact === "measured_frequency");
    assert.equal(measured.by, "road");
    assert.equal(measured.with.by, "gps");
    assert.match(await page.locator(".recorded").textContent(), /Read: (39|40) s at 100/);
    assert.ok(Math.abs(Number.parseFloat([measured.value].flat()[0]) - SPEED / TIRE) < 0.1);
    assert.deepEqual(faults, []);
    await context.close();
  });

test("without satellites the speed that was held is asked for; a device without a sensor says so", async () => {
  const { page, context, faults } = await shop.device(browser, "phone");
  await page.addInitScript(satellites, true);
  await onTheRoad(page, "Job 195, no satellites");
  await page.getByRole("button", { name: "Start recording" }).tap();
  await page.getByText(/no motion sensor that gives anything/).waitFor();
  await page.getByRole("button", { name: "Start recording" }).tap();
  await feed(page, drive());
  await page.getByText(/hold one speed and type it in afterwards/).waitFor();
  await page.getByRole("button", { name: "Stop recording" }).tap();
  await page.getByRole("button", { name: "Read it without a speed" }).waitFor();
  await page.fill("#road-speed", "60.4");
  await page.getByRole("button", { name: "Read it", exact: true }).tap();
  await shown(page);
  assert.match(await page.locator(".recorded .understood").textContent(), /at 60\.4 mph/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a page that is not secure says why the sensor is closed", async () => {
  const { page, context } = await shop.device(browser, "phone");
  await page.addInitScript(() => Object.defineProperty(globalThis, "isSecureContext", { value: false }));
  await onTheRoad(page, "Job 196, not secure");
  await page.getByText(/only to pages that come over https/).waitFor();
  assert.equal(await page.getByRole("button", { name: "Start recording" }).count(), 0);
  await context.close();
});

test("without the engine no recording is read, and that is said", async () => {
  const { page, context } = await shop.device(browser, "desktop", { serviceWorkers: "block" });
  await page.route("**/engine.wasm", (route) => route.abort());
  await inBay(page, "Job 197, no engine");
  await page.getByRole("button", { name: OPENER }).click();
  await page.getByText(/it is not here/).waitFor();
  await context.close();
});

test("nothing of the room is fetched before it is opened", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  const asked = [];
  page.on("request", (request) => asked.push(new URL(request.url()).pathname));
  await context.route("**/sw.js", (route) => route.abort());
  await inBay(page, "Job 198, later");
  assert.equal(asked.some((path) => path.startsWith("/recording/")), false);
  await openRoom(page);
  assert.ok(asked.includes("/recording/room.js") && asked.includes("/recording/recording.css"));
  await context.close();
});
