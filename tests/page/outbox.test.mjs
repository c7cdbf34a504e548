// Laws of the outbox: order, one case a request, nothing lost whatever the server answers.
import assert from "node:assert/strict";
import test from "node:test";
import { MOST_AT_ONCE, meaning, nextBatch, pause, words } from "../../src/page/outbox.js";

const item = (n, kind = "entry", id = "one", more = {}) => ({
  n,
  case: id,
  kind,
  body: { id: `e${n}` },
  ...more,
});
const numbersOf = (batch) => batch.map(({ n }) => n);

test("sending batch after batch sends everything once and in order", () => {
  const kinds = ["case", "entry", "entry", "head", "photo", "entry", "entry"];
  let items = kinds.map((kind, i) => item(i + 1, kind, i < 5 ? "one" : "two"));
  const sent = [];
  while (items.length) {
    const batch = nextBatch(items);
    assert.equal(new Set(batch.map((one) => one.case)).size, 1);
    sent.push(...numbersOf(batch));
    items = items.filter((one) => !batch.includes(one));
  }
  assert.deepEqual(sent, [1, 2, 3, 4, 5, 6, 7]);
});

test("what was refused waits for a person and holds up nothing", () => {
  const items = [item(1, "entry", "one", { problems: [{ what: "no" }] }), item(2), item(3)];
  assert.deepEqual(numbersOf(nextBatch(items)), [2, 3]);
  assert.deepEqual(nextBatch([items[0]]), []);
});

test("a request holds so many entries at most", () => {
  const many = Array.from({ length: MOST_AT_ONCE + 5 }, (_, i) => item(i + 1));
  assert.equal(nextBatch(many).length, MOST_AT_ONCE);
  assert.deepEqual(numbersOf(nextBatch(many, 1)), [1]);
});

// Status codes: RFC 9110, 15; 429: RFC 6585, 4. 0 stands for no answer at all.
const MEANINGS = [
  [0, "later", "later"],
  [200, "sent", "sent"],
  [201, "sent", "sent"],
  [401, "sign_in", "sign_in"],
  [404, "no_case", "no_case"],
  [409, "refused", "alone"],
  [413, "refused", "alone"],
  [422, "refused", "alone"],
  [429, "later", "later"],
  [500, "later", "later"],
  [503, "later", "later"],
];

for (const [status, one, several] of MEANINGS)
  test(`${status} means ${one} for one entry and ${several} for several`, () => {
    assert.equal(meaning([item(1)], status), one);
    assert.equal(meaning([item(1), item(2)], status), several);
  });

test("a case that is not known is not sent whole to make itself", () => {
  assert.equal(meaning([item(1, "case")], 404), "refused");
});

test("tries get rarer and never stop", () => {
  for (let n = 0; n < 50; ++n) {
    assert.ok(pause(n + 1) >= pause(n));
    assert.ok(pause(n) <= 30000);
  }
});

const WORDS = [
  [{ waiting: 0, refused: 0, online: true }, "All saved"],
  [{ waiting: 3, refused: 0, online: false }, "3 entries wait for the network"],
  [{ waiting: 1, refused: 0, online: false }, "1 entry waits for the network"],
  [{ waiting: 1, refused: 0, online: true }, "Saving 1 entry"],
  [{ waiting: 0, refused: 1, online: true }, "1 entry was refused"],
  [
    { waiting: 2, refused: 1, online: false },
    "1 entry was refused. 2 entries wait for the network",
  ],
  [{ waiting: 2, refused: 0, online: true, signIn: true }, "2 entries wait for you to sign in"],
  [{ waiting: 0, refused: 0, online: true, signIn: true }, "This device is not signed in"],
];

for (const [sync, text] of WORDS) test(`in words: ${text}`, () => assert.equal(words(sync), text));

test("saved is said only when nothing waits and nothing was refused", () => {
  for (const waiting of [0, 1, 5])
    for (const refused of [0, 1, 5])
      for (const online of [true, false]) {
        const said = words({ waiting, refused, online }).includes("All saved");
        assert.equal(said, waiting === 0 && refused === 0 && online);
      }
});
