// How strongly a rule speaks, in words. Pure.

export const spaced = (text) => text.replaceAll("_", " ");

/** Rule files give a strength as a word, or as a number of its own. */
const isWord = (strength) => /^[a-z]/.test(strength);

/** "very strong", or "6.3 times". */
export const saidStrength = (strength) =>
  isWord(strength) ? spaced(strength) : `${strength} times`;

const figures = (value) => String(Number(value.toPrecision(3)));

/** "for, strong: odds times 8"; where a number is given, "for: odds times 6.3". */
export function strengthWords({ side, strength, odds_ratio }) {
  const odds =
    side === "for" ? `times ${figures(odds_ratio)}` : `divided by ${figures(1 / odds_ratio)}`;
  return `${side}${isWord(strength) ? `, ${spaced(strength)}` : ""}: odds ${odds}`;
}
