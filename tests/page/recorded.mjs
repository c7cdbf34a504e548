// Recordings that the tests make up.
export const SPEED = 27; // m/s
export const TIRE = 2.05; // m, about one turn of 225/60R16

/** The same noise everywhere. */
function noises() {
  let state = 7;
  return () => {
    state = (state * 1664525 + 1013904223) % 4294967296;
    return 0.2 * (state / 4294967296 - 0.5);
  };
}

/**
 * [seconds, x, y, z] of a drive: gravity, the road's noise, a sine once a turn of the tire; at one
 * speed, or through `sweep` m/s with the shake in the middle.
 */
export function drive({ seconds = 40, rate = 100, amplitude = 0.3, sweep = 0 } = {}) {
  const noise = noises();
  return Array.from({ length: seconds * rate }, (_, i) => {
    const at = i / rate;
    const way = SPEED * at + (sweep * at * at) / (2 * seconds);
    const from = (sweep * at) / seconds - sweep / 2;
    const shake = amplitude * (sweep ? Math.exp(-(from ** 2) / 8) : 1);
    return [at, noise(), noise(), 9.81 + shake * Math.sin((2 * Math.PI * way) / TIRE) + noise()];
  });
}

/** Mono PCM of 16 bits, samples from -1 to 1. */
export function wav(samples, rate) {
  const out = new DataView(new ArrayBuffer(44 + 2 * samples.length));
  const word = (at, text) => [...text].forEach((c, i) => out.setUint8(at + i, c.charCodeAt(0)));
  word(0, "RIFF");
  out.setUint32(4, 36 + 2 * samples.length, true);
  word(8, "WAVEfmt ");
  out.setUint32(16, 16, true);
  out.setUint16(20, 1, true);
  out.setUint16(22, 1, true);
  out.setUint32(24, rate, true);
  out.setUint32(28, 2 * rate, true);
  out.setUint16(32, 2, true);
  out.setUint16(34, 16, true);
  word(36, "data");
  out.setUint32(40, 2 * samples.length, true);
  samples.forEach((one, i) => out.setInt16(44 + 2 * i, Math.round(32767 * one), true));
  return out.buffer;
}
