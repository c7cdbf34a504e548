// A browser, devices, and what a person does at them. The server runs at PERREV_URL.
import assert from "node:assert/strict";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { chromium } from "playwright-core";

export const BASE = process.env.PERREV_URL ?? "http://localhost:8080";
const PICTURES = new URL("../../../build/screenshots/", import.meta.url).pathname;
mkdirSync(PICTURES, { recursive: true });

export const SIZES = {
  phone: { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true },
  tablet: { viewport: { width: 820, height: 1180 }, hasTouch: true },
  desktop: { viewport: { width: 1280, height: 800 } },
  zoomed: { viewport: { width: 640, height: 400 }, deviceScaleFactor: 2 }, // a desktop at 200 %
};

/** One browser; PERREV_CHROMIUM names another one than the system's. */
export const launch = (more = {}) =>
  chromium.launch({
    executablePath: process.env.PERREV_CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox"],
    ...more,
  });

/** A device of its own, with its own storage. `faults` collects what the page complains of. */
export async function device(browser, size, more = {}) {
  const context = await browser.newContext({ ...SIZES[size], baseURL: BASE, ...more });
  const page = await context.newPage();
  page.setDefaultTimeout(10000);
  const faults = [];
  page.on("pageerror", (error) => faults.push(error.message));
  page.on("console", (message) => {
    const network = /Failed to load resource|ERR_INTERNET_DISCONNECTED/.test(message.text());
    if (message.type() === "error" && !network) faults.push(message.text());
  });
  return { context, page, faults };
}

const IN_DOCS = new URL("../../../docs/pictures/", import.meta.url).pathname;
const sizeOf = (png) => [png.readUInt32BE(16), png.readUInt32BE(20)]; // PNG, IHDR: width, height

/** A screenshot of a page or of a part of it. One that stands in docs/pictures is written there with
 * PERREV_DOCS_PICTURES; else the one there must be of the same size. */
export async function picture(of, name, more = {}) {
  const png = await of.screenshot({ path: `${PICTURES}${name}.png`, ...more });
  const there = `${IN_DOCS}${name}.png`;
  if (!existsSync(there)) return;
  if (process.env.PERREV_DOCS_PICTURES) writeFileSync(there, png);
  else assert.deepEqual(sizeOf(readFileSync(there)), sizeOf(png), `${there} is of another page`);
}

/** Once this is done, the page starts without a network. */
export const workerReady = (page) =>
  page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    if (!navigator.serviceWorker.controller)
      await new Promise((done) =>
        navigator.serviceWorker.addEventListener("controllerchange", done, { once: true }),
      );
  });

export const saved = (page) =>
  page.waitForFunction(() => document.querySelector(".saved")?.textContent.trim() === "All saved");

export const caseIdOf = (page) => page.url().split("/").at(-2);

export async function newCase(page, label, initials = "MK") {
  await page.goto("/");
  await page.fill("#initials", initials);
  await page.getByRole("link", { name: "New case" }).click();
  await page.fill("#label", label);
  await page.getByRole("button", { name: "Begin" }).click();
  await page.waitForSelector("#words");
  return caseIdOf(page);
}

/** Answers that let the car be driven; for all other questions the first answer. */
export const CLEAR = {
  nuts_loose: 2,
  tire_damage_seen: 2,
  tire_low_found: 2,
  tires_run_flat: 2,
  felt_at: 1,
  high_voltage_damage: 1,
};
const TYPED = { tire_size: "225/60R16", worst_speed: "62", begins_speed: "50" };

const settled = (page) => page.waitForFunction(() => !document.querySelector(".waiting"));

const asked = async (page) => {
  await settled(page);
  return page
    .locator(".work .question")
    .first()
    .getAttribute("data-fact", { timeout: 3000 })
    .catch(() => null);
};

const questionGone = (page, before) =>
  page.waitForFunction(
    (fact) =>
      document.querySelector(".work .question")?.dataset.fact !== fact &&
      !document.querySelector(".waiting"),
    before,
  );

/** Answers one question of the screen by keys; returns its fact. */
export async function answerByKeys(page) {
  const fact = await asked(page);
  if (!fact) return null;
  if (await page.locator(".work .question input").count()) {
    await page.keyboard.type(TYPED[fact] ?? "60");
    await page.waitForSelector(".understood");
  } else {
    await page.keyboard.press(String(CLEAR[fact] ?? 1));
    await page.waitForSelector('.choice[aria-pressed="true"]');
  }
  await page.keyboard.press("Enter");
  await questionGone(page, fact);
  return fact;
}

export async function answerByTouch(page) {
  const fact = await asked(page);
  if (!fact) return null;
  const question = page.locator(".work .question").first();
  if (await question.locator("input").count()) {
    await question.locator("input").fill(TYPED[fact] ?? "60");
    await page.waitForSelector(".understood");
    await question.locator("button.main").tap();
  } else {
    await question
      .locator(".choice")
      .nth((CLEAR[fact] ?? 1) - 1)
      .tap();
    const main = question.locator("button.main");
    if (await main.count().catch(() => 0)) await main.tap({ timeout: 1000 }).catch(() => {});
  }
  await questionGone(page, fact);
  return fact;
}

/** Goes to a view, and waits until it is the one that is shown. */
export async function tab(page, name) {
  await page.locator(".tabs a", { hasText: name }).click();
  await page.locator(".tabs a[aria-current=page]", { hasText: name }).waitFor();
}

/** A case with some answers, so that its ranking has reasons; its id. */
export async function caseWithReasons(browser, label) {
  const { page, context } = await device(browser, "desktop");
  const id = await newCase(page, label);
  await page.fill("#words", "Shakes at 62 mph since new tires");
  await page.locator(".question button.main").click();
  await page.waitForFunction(() => !document.querySelector("#words"));
  while (await page.locator(".said").count())
    await page.getByRole("button", { name: "Yes" }).click();
  for (let i = 0; i < 6; ++i) await answerByKeys(page);
  await saved(page);
  await context.close();
  return id;
}

export async function openRules(page, address) {
  await page.goto(address);
  await page.waitForSelector(".rules-ways");
}
