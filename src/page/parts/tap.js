// Entries for what is felt during the drive. Pure.
//
// A tap says: felt now, at this speed, here, so strongly. What the rule base knows of it is where
// (felt_at), how strong (how_strong) and the worst speed (worst_speed); the tap itself stays whole
// in "with" of the felt_at entry, so that nothing is lost.
import { thisRound } from "../entries.js";

const STRENGTHS = ["slight", "clear", "strong", "alarming"];
const strengthOf = (name) => STRENGTHS.indexOf(name);

/** Taps of this round, in order: {speed, felt, strength, at}. */
export function tapsOf(entries) {
  return thisRound(entries)
    .filter((entry) => entry.by === "road" && entry.fact === "felt_at" && entry.with?.felt)
    .map(({ id, at, with: w }) => ({ id, at, speed: w.speed, felt: w.felt, strength: w.strength }));
}

const heldWith = ({ speed, unit, by, rpm }) => ({
  speed: `${speed} ${unit}`,
  ...(by ? { by } : {}),
  ...(rpm ? { rpm: `${rpm} rpm` } : {}),
});

/** now: {speed, unit, by, rpm, felt: id of felt_at, strength: id of how_strong} */
export function tapEntries(entries, now) {
  const before = tapsOf(entries);
  const places = [...new Set([...before.map((tap) => tap.felt), now.felt])];
  const held = heldWith(now);
  const source = now.by ? { with: { by: now.by } } : {};
  const out = [
    {
      by: "road",
      fact: "felt_at",
      value: places,
      with: { ...held, felt: now.felt, strength: now.strength },
    },
  ];
  const strongest = Math.max(-1, ...before.map((tap) => strengthOf(tap.strength)));
  if (strengthOf(now.strength) > strongest) {
    out.push({ by: "road", fact: "how_strong", value: now.strength, with: held });
    out.push({ by: "road", fact: "worst_speed", value: held.speed, ...source });
  }
  return out;
}

/** "Begins here", "worst here", "gone again here". */
export function speedEntry(fact, { speed, unit, by }) {
  const source = by ? { with: { by } } : {};
  return { by: "road", fact, value: `${speed} ${unit}`, ...source };
}

/** A frequency with what was held while it was measured. */
export const frequencyEntry = (hz, now) => ({
  by: "road",
  fact: "measured_frequency",
  value: [`${hz} Hz`],
  with: heldWith(now),
});
