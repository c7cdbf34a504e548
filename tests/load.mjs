// The load of load.sh: streams are held on a thread of their own, entries are sent on this one.
//   node load.mjs PORT SECONDS ENTRIES_A_SECOND STREAMS CASES
import { readFileSync } from "node:fs";
import http from "node:http";
import net from "node:net";
import { Worker, isMainThread, parentPort, workerData } from "node:worker_threads";

if (isMainThread) await main(...process.argv.slice(2).map(Number));
else hold(workerData);

/** Every tenth stream is one of all cases, the others are shared out among the cases. */
function hold({ port, streams, cases }) {
  const all = Array.from({ length: streams }, (_, i) => {
    const isOfAll = i % 10 === 9;
    const of = isOfAll ? null : i % cases;
    const path = isOfAll ? "/api/events" : `/api/cases/${caseId(of)}/events`;
    const stream = { of, got: new Set(), again: 0, open: false, lost: false, rest: "" };
    const socket = net.connect(port, "127.0.0.1", () =>
      socket.write(`GET ${path} HTTP/1.1\r\nHost: localhost:${port}\r\n\r\n`));
    socket.setEncoding("utf8");
    socket.on("data", (text) => {
      const lines = (stream.rest + text).split("\n");
      stream.rest = lines.pop();
      for (const line of lines) {
        if (line.startsWith("retry:")) stream.open = true;
        if (!line.startsWith("id: ")) continue;
        const seq = Number(line.slice(4));
        if (stream.got.has(seq)) stream.again++;
        stream.got.add(seq);
      }
    });
    socket.on("close", () => { stream.lost = true; });
    socket.on("error", () => { stream.lost = true; });
    return stream;
  });
  const whenOpen = setInterval(() => {
    if (!all.every((one) => one.open)) return;
    clearInterval(whenOpen);
    parentPort.postMessage("open");
  }, 50);
  parentPort.on("message", () => parentPort.postMessage(
    all.map(({ of, got, again, lost }) => ({ of, got, again, lost }))));
}

function caseId(index) {
  return `load-case-${index}`;
}

async function main(port, seconds, rate, streams, cases) {
  const agent = new http.Agent({ keepAlive: true, maxSockets: 64 });
  const ask = (method, path, body) => new Promise((resolve, reject) => {
    const content = body && JSON.stringify(body);
    const request = http.request({ port, host: "127.0.0.1", method, path, agent, headers: {
      Host: `localhost:${port}`,
      ...(content ? { "Content-Type": "application/json", "Content-Length": Buffer.byteLength(content) } : {}),
    } }, (answer) => {
      let text = "";
      answer.setEncoding("utf8");
      answer.on("data", (more) => { text += more; });
      answer.on("end", () => resolve({ status: answer.statusCode, json: JSON.parse(text) }));
    });
    request.on("error", reject);
    request.end(content);
  });
  for (let i = 0; i < cases; ++i) await ask("PUT", `/api/cases/${caseId(i)}`, { label: `load ${i}` });
  const holder = new Worker(new URL(import.meta.url), { workerData: { port, streams, cases } });
  await new Promise((resolve) => holder.once("message", resolve));

  const pattern = JSON.parse(readFileSync(
    new URL("../cases/shakes_after_new_tires.json", import.meta.url))).entries
    .filter((entry) => entry.fact);
  const times = [], acknowledged = new Map(), problems = [];
  const total = seconds * rate, start = performance.now();
  const waiting = [];
  let unranked = 0;
  for (let i = 0; i < total;) {
    const due = Math.min(total, Math.floor((performance.now() - start) / 1000 * rate) + 1);
    for (; i < due; ++i) {
      const planned = start + i / rate * 1000, of = i % cases;
      const entry = { ...pattern[Math.floor(i / cases) % pattern.length], id: `loadxx-${i + 1}` };
      entry.at = new Date(Date.UTC(2026, 4, 5) + i * 1000).toISOString().replace(".000", "");
      waiting.push(ask("POST", `/api/cases/${caseId(of)}/entries?ranking=1`, { entries: [entry] })
        .then(({ status, json }) => {
          times.push(performance.now() - planned);
          if (status !== 200) problems.push(`${status} ${JSON.stringify(json)}`);
          else acknowledged.set(entry.id, of);
          if (status === 200 && !json.ranking) ++unranked;
        }, (error) => problems.push(error.message)));
    }
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
  await Promise.all(waiting);
  const took = (performance.now() - start) / 1000;
  await new Promise((resolve) => setTimeout(resolve, 2000));

  // What was acknowledged must be in the store, and on each stream that it concerns.
  let lost = 0;
  const stored = [];
  for (let i = 0; i < cases; ++i) {
    const { json } = await ask("GET", `/api/cases/${caseId(i)}`);
    stored.push(json.case.entries.length);
    const ids = new Set(json.case.entries.map((entry) => entry.id));
    for (const [id, of] of acknowledged) if (of === i && !ids.has(id)) ++lost;
  }
  holder.postMessage("tell");
  const held = await new Promise((resolve) => holder.once("message", resolve));
  let unseen = 0, again = 0, dropped = 0;
  for (const one of held) {
    const wanted = one.of === null ? stored.reduce((sum, n) => sum + n, 0) : stored[one.of];
    unseen += wanted - one.got.size;
    again += one.again;
    dropped += one.lost ? 1 : 0;
  }
  times.sort((a, b) => a - b);
  const at = (share) => times[Math.min(times.length - 1, Math.floor(times.length * share))].toFixed(1);
  console.log(`${total} entries in ${took.toFixed(1)} s over ${cases} cases, ${streams} streams`);
  console.log(`errors ${problems.length}, without a ranking ${unranked}, lost in the store ${lost}`);
  console.log(`streams: dropped ${dropped}, not seen ${unseen}, seen twice ${again}`);
  console.log(`answered in ms from when it was due: p50 ${at(0.5)}, p90 ${at(0.9)}, p99 ${at(0.99)}, ` +
    `longest ${times.at(-1).toFixed(1)}`);
  for (const one of problems.slice(0, 5)) console.log(one);
  await holder.terminate();
  agent.destroy();
  process.exitCode = problems.length + lost + unseen + again + dropped > 0 ? 1 : 0;
}
