// The graphs of the rule base on the page: moved and made larger by whatever there is, ways from their
// shapes, the walk of a case; and that nothing but shapes and words comes into the page.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import * as shop from "./shop.mjs";

let browser;
let id;
before(async () => {
  browser = await shop.launch();
  id = await shop.caseWithReasons(browser, "Job 161, its walk");
});
after(() => browser.close());

const transform = (page) =>
  page.locator(".world").evaluate((one) => {
    const { a, e, f } = one.getCTM();
    return { scale: a, x: e, y: f };
  });

/** Waits until the picture stands otherwise than before. */
async function moved(page, act) {
  const before = await transform(page);
  await act();
  await page.waitForFunction(({ scale, x, y }) => {
    const now = document.querySelector(".world").getCTM();
    return (
      Math.abs(now.a - scale) + Math.abs(now.e - x) + Math.abs(now.f - y) > 0.5 || now.a !== scale
    );
  }, before);
  return { before, after: await transform(page) };
}

test("a graph: larger and smaller by buttons, keys and wheel; moved by keys and by dragging", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await shop.openRules(page, "/#/rules/graph/path/cause/bent_rim_radial/2");
  await page.waitForSelector(".vertex.check");
  await page.waitForTimeout(300);
  const canvas = page.locator(".canvas");
  const larger = await moved(page, () => page.getByRole("button", { name: "Larger" }).click());
  assert.ok(larger.after.scale > 1.2 * larger.before.scale);
  const smaller = await moved(page, () => page.getByRole("button", { name: "Smaller" }).click());
  assert.ok(Math.abs(smaller.after.scale - larger.before.scale) < 1e-3);
  await canvas.focus();
  const plus = await moved(page, () => page.keyboard.press("+"));
  assert.ok(plus.after.scale > plus.before.scale);
  const minus = await moved(page, () => page.keyboard.press("-"));
  assert.ok(minus.after.scale < minus.before.scale);
  const right = await moved(page, () => page.keyboard.press("ArrowRight"));
  assert.ok(Math.abs(right.after.x - right.before.x + 80) < 1);
  const down = await moved(page, () => page.keyboard.press("ArrowDown"));
  assert.ok(Math.abs(down.after.y - down.before.y + 80) < 1);
  const box = await canvas.boundingBox();
  const [x, y] = [box.x + 200, box.y + 100];
  await page.mouse.move(x, y);
  const wheel = await moved(page, () => page.mouse.wheel(0, -100));
  assert.ok(wheel.after.scale > wheel.before.scale);
  // What is under the pointer stays there.
  const under = ({ scale, x: e, y: f }) => [(200 - e) / scale, (100 - f) / scale];
  const [was, is] = [under(wheel.before), under(wheel.after)];
  assert.ok(Math.hypot(was[0] - is[0], was[1] - is[1]) < 2, `${was} ${is}`);
  const dragged = await moved(page, async () => {
    await page.mouse.down();
    await page.mouse.move(x + 60, y + 30, { steps: 4 });
    await page.mouse.up();
  });
  assert.ok(Math.abs(dragged.after.x - dragged.before.x - 60) < 1.5);
  assert.ok(Math.abs(dragged.after.y - dragged.before.y - 30) < 1.5);
  const whole = await moved(page, () => page.getByRole("button", { name: "Whole" }).click());
  assert.ok(whole.after.scale > 0);
  const inside = await page.evaluate(() => {
    const [one, all] = [".world", ".canvas"].map((name) =>
      document.querySelector(name).getBoundingClientRect(),
    );
    return (
      one.left >= all.left &&
      one.right <= all.right &&
      one.top >= all.top &&
      one.bottom <= all.bottom
    );
  });
  assert.ok(inside, "the whole picture is in its window");
  assert.deepEqual(faults, []);
  await context.close();
});

test("two fingers make a graph larger", async () => {
  const { page, context } = await shop.device(browser, "phone");
  await shop.openRules(page, "/#/rules/graph/path/cause/bent_rim_radial/2");
  await page.waitForSelector(".vertex.check");
  await page.waitForTimeout(300);
  await page.locator(".canvas").scrollIntoViewIfNeeded();
  const box = await page.locator(".canvas").boundingBox();
  const client = await context.newCDPSession(page);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const touch = (type, apart) =>
    client.send("Input.dispatchTouchEvent", {
      type,
      touchPoints:
        apart === null
          ? []
          : [
              { x: x - apart, y, id: 1 },
              { x: x + apart, y, id: 2 },
            ],
    });
  const pinched = await moved(page, async () => {
    await touch("touchStart", 20);
    for (let apart = 30; apart <= 120; apart += 10) await touch("touchMove", apart);
    await touch("touchEnd", null);
  });
  assert.ok(pinched.after.scale > pinched.before.scale);
  await context.close();
});

test("a shape leads to its page by a click and by Enter, and dragging one does not", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await shop.openRules(page, "/#/rules/graph/evidence/fact/felt_at/1");
  await page.waitForSelector(".vertex.rule");
  await page.waitForTimeout(300);
  const shape = page
    .locator(".canvas a")
    .filter({ has: page.locator(".vertex.fact") })
    .first();
  const box = await shape.boundingBox();
  const at = page.url();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2 + 40, box.y + box.height / 2 + 20, { steps: 4 });
  await page.mouse.up();
  await page.waitForTimeout(200);
  assert.equal(page.url(), at);
  await shape.click();
  await page.getByRole("heading", { name: "Rules that read it" }).waitFor();
  await page.goBack();
  await page.waitForSelector(".vertex.rule");
  await page.getByRole("button", { name: "Past the shapes" }).focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.activeElement?.tagName === "SUMMARY");
  await page.locator(".canvas").focus();
  await page.keyboard.press("Tab");
  const name = await page.evaluate(() => document.activeElement.textContent);
  assert.ok(name.length > 5);
  await page.keyboard.press("Enter");
  await page.waitForSelector(".stands");
  assert.deepEqual(faults, []);
  await context.close();
});

test("the walk of a case is drawn, also for those who read it as a list", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await shop.openRules(page, `/#/rules/graph/path?case=${id}`);
  // All of the way takes a second or so of one processor to lay out.
  await page.waitForSelector(".vertex.check.doubled", { state: "attached", timeout: 30000 });
  const words = await page.locator(".vertex.check.doubled").first().textContent();
  assert.match(words, /OFFERED NOW/);
  assert.ok((await page.locator(".vertex.bold").count()) > 0, "something is done");
  await shop.picture(page, "desktop-walk");
  await page.getByText("The same as a list").click();
  await page.locator(".things li", { hasText: "OFFERED NOW" }).first().waitFor();
  const link = page.locator(".things a", { hasText: "OFFERED NOW" }).first();
  assert.match(await link.getAttribute("href"), new RegExp(`^#/rules/check/.*case=${id}$`));
  await page.getByRole("link", { name: "Without the case" }).click();
  await page.waitForFunction(() => !document.querySelector(".vertex.doubled"));
  await page.getByLabel("What is drawn").selectOption("family wheel_end");
  await page.getByLabel("How far around").selectOption("2");
  await page.waitForURL(/graph\/path\/family\/wheel_end\/2$/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("larger, smaller and whole, before there is a picture, do nothing", async () => {
  const { page, context, faults } = await shop.device(browser, "desktop");
  await page.goto("/");
  await page.evaluate(async () => {
    const { canvasOf, fit, zoom } = await import("/rules/canvas.js");
    const press = () => [fit(), zoom(true), zoom(false)];
    press();
    canvasOf("one", () => document.createElementNS("http://www.w3.org/2000/svg", "g"));
    press();
  });
  assert.deepEqual(faults, []);
  await context.close();
});

test("of a picture nothing comes into the page but shapes and words", async () => {
  const { page, context } = await shop.device(browser, "desktop");
  await page.goto("/");
  const made = await page.evaluate(async () => {
    const { drawn, readPicture } = await import("/rules/graph_svg.js");
    const picture = readPicture(`<svg xmlns="http://www.w3.org/2000/svg" onload="window.bad = 1">
      <script>window.bad = 2</script><style>* { display: none }</style>
      <g class="node bold evil"><title>rule &lt;b&gt;</title><image href="x" onerror="window.bad = 3"/>
        <a href="javascript:window.bad=4"><path d="M0,0L1,1" onclick="window.bad = 5" style="fill:red"/></a>
        <polygon points="url(#x)"/><text x="1" y="javascript:1">&lt;img src=x onerror="window.bad = 6"&gt;</text>
        <foreignObject><body xmlns="http://www.w3.org/1999/xhtml"><path d="M1,1"/></body></foreignObject></g></svg>`);
    const world = drawn(picture, null);
    document.body.append(world);
    const all = [world, ...world.querySelectorAll("*")];
    return {
      bad: window.bad ?? null,
      names: [...new Set(all.map((one) => one.localName))].sort(),
      attributes: [...new Set(all.flatMap((one) => one.getAttributeNames()))].sort(),
      classes: all.map((one) => one.getAttribute("class")).filter(Boolean),
      href: world.querySelector("a").getAttribute("href"),
      text: world.querySelector("text").textContent,
      none: readPicture("<html></html>"),
    };
  });
  assert.equal(made.bad, null);
  assert.equal(made.none, null);
  assert.deepEqual(made.names, ["a", "g", "path", "polygon", "text"]);
  assert.deepEqual(made.attributes, ["class", "d", "data-name", "href", "x"]);
  assert.deepEqual(made.classes, ["world", "vertex rule bold"]);
  assert.equal(made.href, "#/rules/rule/%3Cb%3E");
  assert.equal(made.text, '<img src=x onerror="window.bad = 6"> ');
  await context.close();
});
