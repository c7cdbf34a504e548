// The built program as a server, and requests as bytes: what a browser would never send is sent too.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import net from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import tls from "node:tls";
import { fileURLToPath } from "node:url";

export const binary = process.env.PERREV_BINARY ??
  fileURLToPath(new URL("../../build/src/perrev", import.meta.url));

/** Starts `perrev serve` on a free port; `stop()` ends it and removes its store. */
export async function serve(...more) {
  const folder = mkdtempSync(join(tmpdir(), "perrev-page-"));
  const store = join(folder, "shop.db");
  const child = spawn(binary, ["serve", "--store", store, "--port", "0", ...more],
    { stdio: ["ignore", "pipe", "pipe"], env: { ...process.env, PERREV_CACHE: "off" } });
  let said = "";
  child.stderr.resume();
  await new Promise((resolve, reject) => {
    child.stdout.on("data", (text) => {
      said += text;
      if (said.includes("ends it")) resolve();
    });
    child.on("exit", (code) => reject(new Error(`the server ended with ${code}`)));
  });
  const [, scheme, , port] = said.match(/(https?):\/\/([^:/]+):(\d+)\//);
  return {
    store, port: Number(port), secure: scheme === "https", host: `localhost:${port}`,
    key: said.match(/^Key: (.*)$/m)?.[1],
    fingerprint: said.match(/^ +((?:[0-9A-F]{2}:){31}[0-9A-F]{2})$/m)?.[1],
    async stop() {
      child.removeAllListeners("exit");
      const ended = new Promise((resolve) => child.on("exit", resolve));
      child.kill("SIGTERM");
      const code = await ended;
      rmSync(folder, { recursive: true });
      return code;
    },
  };
}

/** Sends the bytes on a connection of their own and gives {status, headers, body}. */
export function send(server, bytes) {
  return new Promise((resolve, reject) => {
    const to = { port: server.port, host: "127.0.0.1", rejectUnauthorized: false };
    const socket = server.secure ? tls.connect(to) : net.connect(to);
    let got = Buffer.alloc(0);
    const done = () => {
      socket.destroy();
      const end = got.indexOf("\r\n\r\n");
      if (end < 0) return reject(new Error("closed without an answer"));
      const [first, ...lines] = got.subarray(0, end).toString("latin1").split("\r\n");
      const headers = Object.fromEntries(lines.map((line) => {
        const colon = line.indexOf(": ");
        return [line.slice(0, colon).toLowerCase(), line.slice(colon + 2)];
      }));
      resolve({ status: Number(first.split(" ")[1]), headers, body: got.subarray(end + 4) });
    };
    const whole = () => {
      const end = got.indexOf("\r\n\r\n");
      if (end < 0) return false;
      const head = got.subarray(0, end).toString("latin1");
      const length = head.match(/^content-length: (\d+)$/im);
      return !length || got.length >= end + 4 + Number(length[1]);
    };
    socket.on("data", (data) => {
      got = Buffer.concat([got, data]);
      if (whole()) done();
    });
    socket.on("error", () => got.length > 0 ? done() : reject(new Error("connection refused")));
    socket.on("close", () => done());
    socket.write(bytes);
  });
}

/** The bytes of a request; `head` adds or, with null, leaves out header lines. */
export function bytesOf(server, method, path, { body, head = {}, version = "HTTP/1.1" } = {}) {
  const content = body === undefined ? Buffer.alloc(0)
    : Buffer.isBuffer(body) ? body : Buffer.from(typeof body === "string" ? body : JSON.stringify(body));
  const lines = { Host: server.host, ...(server.cookie ? { Cookie: server.cookie } : {}) };
  if (body !== undefined) {
    lines["Content-Type"] = "application/json";
    lines["Content-Length"] = content.length;
  }
  Object.assign(lines, head);
  const text = Object.entries(lines).filter(([, value]) => value !== null)
    .map(([name, value]) => `${name}: ${value}\r\n`).join("");
  return Buffer.concat([Buffer.from(`${method} ${path} ${version}\r\n${text}\r\n`), content]);
}
