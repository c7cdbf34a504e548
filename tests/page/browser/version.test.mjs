// A newer program on the same address: the page says so, and has it after one reload.
import assert from "node:assert/strict";
import http from "node:http";
import { after, before, test } from "node:test";
import { serve } from "../serving.mjs";
import * as shop from "./shop.mjs";

let browser, server, between, baseURL;
let isNewer = false;

/** Passes everything through; once `isNewer`, the files are those of another version. */
function passOn(request, response) {
  const headers = { ...request.headers, host: server.host };
  delete headers["accept-encoding"];
  delete headers["if-none-match"];
  if (headers.origin) headers.origin = `http://${server.host}`;
  const { method, url: path } = request;
  const to = http.request({ port: server.port, method, path, headers }, (from) => {
    const change = { "/version.js": (text) => text.replace('"version":"', '"version":"newer ') }[path]
      ?? { "/base.css": (text) => `${text}\nmain { outline-style: dotted; }\n` }[path];
    if (!isNewer || !change) {
      response.writeHead(from.statusCode, from.headers);
      return from.pipe(response);
    }
    let text = "";
    from.setEncoding("utf8").on("data", (more) => (text += more));
    from.on("end", () => {
      const { "content-length": _, etag, ...rest } = from.headers;
      response.writeHead(from.statusCode, rest).end(change(text));
    });
  });
  to.on("error", () => response.destroy());
  response.on("close", () => to.destroy());
  request.pipe(to);
}

before(async () => {
  server = await serve();
  between = http.createServer(passOn);
  await new Promise((done) => between.listen(0, "127.0.0.1", done));
  baseURL = `http://localhost:${between.address().port}`;
  browser = await shop.launch();
});
after(async () => {
  await browser.close();
  between.closeAllConnections();
  between.close();
  assert.equal(await server.stop(), 0);
});

test("a newer version is told, and used from the next reload on, with what was entered", async () => {
  const { page, context, faults } = await shop.device(browser, "phone", { baseURL });
  const dotted = () => page.evaluate(
    () => getComputedStyle(document.querySelector("main")).outlineStyle === "dotted",
  );
  await shop.newCase(page, "Job 170, through a new version");
  await shop.workerReady(page);
  await page.reload();
  await page.waitForSelector("#words");
  isNewer = true;
  await page.fill("#words", "entered under the old version");
  await page.locator(".question button.main").tap();
  await page.waitForFunction(() => !document.querySelector("#words"));
  assert.equal(await dotted(), false);
  await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
  await page.getByText("A new version is ready").waitFor();
  await shop.picture(page, "phone-new-version");
  await page.getByRole("button", { name: "Load it now" }).tap();
  await page.waitForFunction(() => {
    const main = document.querySelector("main");
    return main && getComputedStyle(main).outlineStyle === "dotted";
  });
  await shop.tab(page, "Log");
  await page.locator(".log", { hasText: "entered under the old version" }).waitFor();
  await shop.saved(page);
  assert.deepEqual(faults, []);
  await context.close();
});
