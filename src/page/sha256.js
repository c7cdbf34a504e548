// SHA-256 (FIPS 180-4) of bytes, in hex. A page over plain HTTP in the shop's network has no
// crypto.subtle, so the few lines stand here as well.

const K = [];
const H = [];
for (let n = 2; K.length < 64; ++n) {
  let prime = true;
  for (let d = 2; d * d <= n; ++d) if (n % d === 0) prime = false;
  if (!prime) continue;
  const fraction = (x) => ((x - Math.floor(x)) * 2 ** 32) | 0;
  if (H.length < 8) H.push(fraction(Math.sqrt(n)));
  K.push(fraction(Math.cbrt(n)));
}

const turn = (x, n) => (x >>> n) | (x << (32 - n));

function block(h, view, at) {
  const w = new Int32Array(64);
  for (let i = 0; i < 16; ++i) w[i] = view.getInt32(at + 4 * i);
  for (let i = 16; i < 64; ++i) {
    const a = turn(w[i - 15], 7) ^ turn(w[i - 15], 18) ^ (w[i - 15] >>> 3);
    const b = turn(w[i - 2], 17) ^ turn(w[i - 2], 19) ^ (w[i - 2] >>> 10);
    w[i] = w[i - 16] + a + w[i - 7] + b;
  }
  const v = [...h];
  for (let i = 0; i < 64; ++i) {
    const s1 = turn(v[4], 6) ^ turn(v[4], 11) ^ turn(v[4], 25);
    const one = (v[7] + s1 + ((v[4] & v[5]) ^ (~v[4] & v[6])) + K[i] + w[i]) | 0;
    const s0 = turn(v[0], 2) ^ turn(v[0], 13) ^ turn(v[0], 22);
    const two = (s0 + ((v[0] & v[1]) ^ (v[0] & v[2]) ^ (v[1] & v[2]))) | 0;
    v.pop();
    v.unshift((one + two) | 0);
    v[4] = (v[4] + one) | 0;
  }
  return h.map((x, i) => (x + v[i]) | 0);
}

export function sha256Slow(bytes) {
  const length = (((bytes.length + 8) >> 6) + 1) << 6;
  const padded = new Uint8Array(length);
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(length - 8, Math.floor(bytes.length / 2 ** 29));
  view.setUint32(length - 4, bytes.length << 3);
  let h = H;
  for (let at = 0; at < length; at += 64) h = block(h, view, at);
  return h.map((x) => (x >>> 0).toString(16).padStart(8, "0")).join("");
}

export async function sha256(bytes) {
  if (!globalThis.crypto?.subtle) return sha256Slow(bytes);
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
