// Order lines and measured frequencies as numbers for a plot and its table. Pure.
import { standing } from "./entries.js";

/** Points that were measured, {speed, hz} in the unit shown. */
export function measuredPoints(entries, unit) {
  const perUnit = { "km/h": 1, mph: 1.609344 };
  const out = [];
  for (const entry of standing(entries)) {
    if (entry.fact !== "measured_frequency" || !entry.with?.speed) continue;
    const [, number, of] = /^([\d.]+)\s*(\S+)$/.exec(entry.with.speed) ?? [];
    if (!perUnit[of]) continue;
    const speed = (Number(number) * perUnit[of]) / perUnit[unit];
    for (const value of [entry.value].flat()) out.push({ speed, hz: Number.parseFloat(value) });
  }
  return out.sort((a, b) => a.speed - b.speed);
}

/** Rows of the table: one a line of the vehicle, {about, hz: one a speed}. */
export function rowsOf(answers) {
  const names = answers.at(-1)?.lines.map((line) => line.about) ?? [];
  return names.map((about) => ({
    about,
    hz: answers.map((one) => one.lines.find((line) => line.about === about)?.frequency_hz ?? null),
  }));
}

/** Columns for the plot: speeds, one column a line, and what was measured; null where nothing is. */
export function plotData(speeds, rows, points) {
  const x = [...new Set([...speeds, ...points.map((point) => point.speed)])].sort((a, b) => a - b);
  const last = speeds.length - 1;
  // Lines that follow the road speed are straight through zero.
  const between = (hz, speed) => (hz[last] === null ? null : (hz[last] * speed) / speeds[last]);
  const at = ({ hz }, speed) =>
    speeds.includes(speed) ? hz[speeds.indexOf(speed)] : between(hz, speed);
  const measured = (speed) => points.find((point) => point.speed === speed)?.hz ?? null;
  return [x, ...rows.map((row) => x.map((speed) => at(row, speed))), x.map(measured)];
}
