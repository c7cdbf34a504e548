// Names that are unique for ever, and moments that never run backwards. Pure.

const LETTERS = "abcdefghijklmnopqrstuvwxyz234567";

export function randomWord(length, fill = (bytes) => crypto.getRandomValues(bytes)) {
  return Array.from(fill(new Uint8Array(length)), (byte) => LETTERS[byte & 31]).join("");
}

export const entryId = (device, count) => `${device}-${count}`;
export const newCaseId = () => randomWord(16);
export const isCaseId = (text) => /^[a-z0-9-]{6,40}$/.test(text);

/**
 * The moment of a new entry: now, but later than `newest`, the newest moment of the case, since
 * another device's clock may be ahead and equal moments would be ordered by id.
 */
export function momentAfter(newest, now = Date.now()) {
  const before = newest ? Date.parse(newest) : Number.NaN;
  return new Date(Number.isNaN(before) ? now : Math.max(now, before + 1)).toISOString();
}
