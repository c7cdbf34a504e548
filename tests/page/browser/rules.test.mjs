// The rule base on the page: looking something up, from a case to the rules that made its ranking, along
// links, and without a network.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser;
let id;
before(async () => {
  browser = await shop.launch();
  id = await shop.caseWithReasons(browser, "Job 160, why does it think so");
});
after(() => browser.close());

const heading = (page) => page.locator("main h1").textContent();
const counts = (page) => page.locator("main h2[id^=found]").allTextContents();
const things = (page) => page.locator(".things a").allTextContents();

test("every word narrows what is found, it is said politely, and one kind can be seen alone", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await page.goto("/");
  await page.getByRole("link", { name: "Rules" }).click();
  await page.getByLabel(/^Look in/).fill("balance");
  await page.waitForFunction(() => document.querySelectorAll("main h2").length > 2);
  const wide = await counts(page);
  assert.match(wide[0], /^\d+ causes$/);
  await page.getByLabel(/^Look in/).fill("BALÄNCE tire");
  await page.waitForFunction(
    (before) => document.querySelector("main h2").textContent !== before,
    wide[0],
  );
  const sum = (list) => list.reduce((all, text) => all + Number.parseInt(text, 10), 0);
  const narrow = await counts(page);
  assert.ok(sum(narrow) > 0 && sum(narrow) < sum(wide));
  await page.waitForFunction(
    (words) => document.getElementById("spoken").textContent.includes(words),
    narrow.join(", "),
  );
  await page.getByRole("button", { name: "Rules", exact: true }).click();
  assert.match((await counts(page)).join(), /^\d+ rules?$/);
  const all = sum(await counts(page));
  while (await page.getByRole("button", { name: /^\d+ more$/ }).count()) {
    const before = (await things(page)).length;
    assert.ok(before < all);
    await page.getByRole("button", { name: /^\d+ more$/ }).click();
    await page.waitForFunction(
      (count) => document.querySelectorAll(".things a").length > count,
      before,
    );
  }
  assert.equal((await things(page)).length, all);
  await page.getByLabel(/^Look in/).fill("balance zebra");
  await page.getByText("Nothing has all these words.").waitFor();
  await page.waitForFunction(() =>
    document.getElementById("spoken").textContent.includes("Nothing found"),
  );
  assert.deepEqual(faults, []);
  await context.close();
});

test("from the ranking to a rule in this case, to a fact, a check, a cause and back", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await page.goto(`/#/case/${id}/bay`);
  const first = page.locator(".beside-work .cause").first();
  await first.locator("summary").click();
  const rule = first.locator(".evidence a").first();
  await rule.waitFor();
  const named = await rule.textContent();
  await rule.click();
  await page.waitForSelector(".condition");
  assert.equal((await heading(page)).trim().toLowerCase(), named.trim());
  await page.getByRole("heading", { name: "In this case" }).waitFor();
  const truths = await page.locator(".condition .truth").allTextContents();
  assert.ok(truths.length > 0);
  for (const truth of truths) assert.match(truth, /^(yes|no|not known|.* (yes|no|not known))$/);
  assert.match(await page.locator(".stands").textContent(), /evidence\/\w+\.yaml, line\s+\d+/);
  const ask = await page.locator(".condition a").first().textContent();
  await page.locator(".condition a").first().click();
  await page.waitForFunction(
    (words) => words.startsWith(document.querySelector("main h1").textContent.trim()),
    ask.trim(),
  );
  await page.getByRole("heading", { name: "Rules that read it" }).waitFor();
  await page.locator(".things a[href*='/cause/']").first().click();
  await page.getByRole("heading", { name: "Checks that can show it" }).waitFor();
  await page.getByText("In all, against a cause that is not listed").waitFor();
  await page.locator("a[href*='/rules/check/']").first().click();
  await page.getByRole("heading", { name: "It learns" }).waitFor();
  await page
    .getByText(/^(It is|It was)/)
    .first()
    .waitFor();
  await page.getByRole("link", { name: "Without the case" }).click();
  await page.waitForFunction(() => !document.querySelector("section[aria-label='In this case']"));
  await page.goBack();
  await page.getByRole("link", { name: "Job 160, why does it think so" }).click();
  await page.waitForSelector(".tabs a[aria-current]");
  assert.deepEqual(faults, []);
  await context.close();
});

test("without a network: found and explained by this device; a graph that was seen is still there", async () => {
  const { page, context } = await shop.device(browser, "phone");
  await shop.openRules(page, "/#/rules/graph/evidence/cause/bent_rim_radial/1");
  await page.waitForSelector(".vertex.cause");
  await shop.workerReady(page);
  await page.waitForFunction(async () => {
    const rules = await caches.open("rules");
    return (await rules.keys()).length > 0;
  });
  await page.waitForFunction(async () => {
    const open = indexedDB.open("perrev");
    const db = await new Promise((done) => (open.onsuccess = () => done(open.result)));
    const get = db.transaction("kept").objectStore("kept").get("drawings");
    const kept = await new Promise((done) => (get.onsuccess = () => done(get.result)));
    db.close();
    return kept?.length > 0;
  });
  await context.setOffline(true);
  await page.reload();
  await page.getByText("As it was drawn before").waitFor();
  await page.waitForSelector(".vertex.cause");
  await page.goto("/#/rules/graph/path");
  await page.getByText("This drawing needs the shop's computer").waitFor();
  await page.getByRole("link", { name: "Look up" }).first().click();
  await page.getByLabel(/^Look in/).fill("bent rim");
  await page.locator(".things a[href*='/cause/bent_rim_radial']").click();
  await page.getByRole("heading", { name: "Checks that can show it" }).waitFor();
  await context.setOffline(false);
  await context.close();
});

const LACKING = "The rule base did not come to this device.";

/** A device to which the rule base does not come, until `route.lift()`; `route.asked` counts. */
async function without(file) {
  const { page, context } = await shop.device(browser, "phone", { serviceWorkers: "block" });
  const route = { asked: 0, lift: () => page.unroute(`**/${file}`) };
  await page.route(`**/${file}`, (one) => {
    route.asked += 1;
    return one.abort();
  });
  await page.goto("/#/rules");
  await page.getByText(LACKING).first().waitFor();
  await page.waitForTimeout(1500); // until the engine is there, which is one more try
  return { page, context, route };
}

for (const file of ["rules/room.js", "rules/rules.css"])
  test(`where ${file} does not come it is asked for once, and again at a tap`, async () => {
    const { page, context, route } = await without(file);
    assert.ok(route.asked === 1 || route.asked === 2, `asked ${route.asked} times`);
    const before = route.asked;
    await page.getByRole("button", { name: "Try again" }).tap();
    await page.waitForTimeout(500);
    assert.equal(route.asked, before + 1);
    assert.ok((await page.locator("link[href='/rules/rules.css']").count()) <= 1);
    await route.lift();
    await page.getByRole("button", { name: "Try again" }).tap();
    await page.waitForSelector(".rules-ways");
    await context.close();
  });

test("what did not come is asked for when the network is back", async () => {
  const { page, context, route } = await without("rules/room.js");
  await context.setOffline(true);
  await route.lift();
  await page.waitForTimeout(500);
  assert.equal(await page.locator(".rules-ways").count(), 0);
  await context.setOffline(false);
  await page.waitForSelector(".rules-ways");
  await context.close();
});

test("a device that is full shows a drawing all the same", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await page.addInitScript(() => {
    const { put } = IDBObjectStore.prototype;
    IDBObjectStore.prototype.put = function (value, ...key) {
      if (key[0] === "drawings") throw new DOMException("full", "QuotaExceededError");
      return put.call(this, value, ...key);
    };
  });
  await shop.openRules(page, "/#/rules/graph/evidence/cause/bent_rim_radial/1");
  await page.waitForSelector(".vertex.cause");
  assert.deepEqual(faults, []);
  await context.close();
});
