// Without a network: entries wait, survive a reload, and arrive in order; and what a server refuses
// is shown, not lost.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser;
before(async () => {
  browser = await shop.launch();
});
after(() => browser.close());

const storedIds = async (page, id) => {
  const response = await page.request.get(`/api/cases/${id}`);
  return (await response.json()).case.entries.map((entry) => entry.id);
};

test("a drive with a cut connection: taps wait, a reload keeps them, they arrive once and in order", async () => {
  const { page, context, faults } = await shop.device(browser, "phone");
  const id = await shop.newCase(page, "Job 120, cut connection");
  await shop.workerReady(page);
  await shop.tab(page, "Road");
  await page.waitForSelector(".work .ask");
  while (await page.locator("section[aria-label='Before the drive']").count())
    await shop.answerByTouch(page);
  await page.locator("#acknowledge").tap();
  await page.getByRole("button", { name: "Start the drive" }).tap();
  await shop.saved(page);
  const before = await storedIds(page, id);

  await context.setOffline(true);
  await page.locator(".huge").tap();
  await page.getByText("1 tap on this drive").waitFor();
  await page.locator(".huge").tap();
  await page.getByText("2 taps on this drive").waitFor();
  await page.waitForFunction(() =>
    /wait for the network/.test(document.querySelector(".saved").textContent),
  );
  await page.reload();
  await page.getByText("2 taps on this drive").waitFor();
  assert.match(await page.locator(".saved").textContent(), /4 entries wait for the network/);
  await shop.picture(page, "phone-offline");

  await context.setOffline(false);
  await shop.saved(page);
  const ids = await storedIds(page, id);
  assert.deepEqual(ids.slice(0, before.length), before);
  assert.equal(ids.length, before.length + 4);
  assert.equal(new Set(ids).size, ids.length);
  const count = (one) => Number(one.split("-")[1]);
  for (let i = 1; i < ids.length; ++i) assert.ok(count(ids[i]) > count(ids[i - 1]));
  assert.deepEqual(faults, []);
  await context.close();
});

test("the page starts without a network and begins a case there", async () => {
  const { page, context } = await shop.device(browser, "phone");
  await page.goto("/");
  await shop.workerReady(page);
  await page.waitForFunction(async () => {
    const open = indexedDB.open("perrev");
    const db = await new Promise((done) => (open.onsuccess = () => done(open.result)));
    const all = db.transaction("kept").objectStore("kept").getAllKeys();
    const keys = await new Promise((done) => (all.onsuccess = () => done(all.result)));
    db.close();
    return keys.some((key) => key.startsWith("catalogue"));
  });
  await context.setOffline(true);
  await page.reload();
  const id = await shop.newCase(page, "Job 121, begun offline");
  await page.fill("#words", "It shakes");
  await page.locator(".question button.main").tap();
  await page.waitForFunction(() =>
    /wait for the network/.test(document.querySelector(".saved").textContent),
  );
  await context.setOffline(false);
  await shop.saved(page);
  assert.equal((await storedIds(page, id)).length, 1);
  await context.close();
});

test("an entry that the server refuses is shown with its problem; it can be edited", async () => {
  // With a service worker in between, the answer could not be put in the server's place.
  const { page, context } = await shop.device(browser, "desktop", { serviceWorkers: "block" });
  const id = await shop.newCase(page, "Job 122, refused");
  await shop.saved(page);
  await page.route("**/api/cases/*/entries*", (route) =>
    route.fulfill({
      status: 422,
      contentType: "application/json",
      body: JSON.stringify({
        problems: [{ what: "the value makes no sense", right: "another one" }],
      }),
    }),
  );
  await page.fill("#words", "refuse me");
  await page.locator(".question button.main").click();
  await page.getByText("the value makes no sense; another one").waitFor();
  assert.match(await page.locator(".saved").textContent(), /1 entry was refused/);
  await shop.picture(page, "desktop-refused");
  await page.reload();
  await page.getByText("the value makes no sense; another one").waitFor();
  await page.unroute("**/api/cases/*/entries*");
  await page.getByRole("button", { name: "Enter it anew" }).click();
  await shop.saved(page);
  assert.deepEqual(await storedIds(page, id), []);
  assert.equal(await page.inputValue("#words"), "refuse me");
  await page.fill("#words", "this one stays");
  await page.locator(".question button.main").click();
  await page.waitForFunction(() => !document.querySelector("#words"));
  await shop.saved(page);
  assert.equal((await storedIds(page, id)).length, 1);
  await context.close();
});
