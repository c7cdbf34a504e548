// What a motion sensor and the satellites gave, as the rows of a recording. Pure.
//
// rows: [seconds, ahead, left, up], m/s2; fixes: [seconds, m/s]. The device lies flat with its screen
// up and its top ahead, so its own axes (right, top, up; W3C DeviceOrientation) are turned a quarter.

const NAMES = ["time_s", "ax_mps2", "ay_mps2", "az_mps2"];
const SPEED = "speed_mps";

const PART = 5000; // rows
const SPAN = 400; // rows, of what is told of the rate
const GAP = 3; // usual steps

/** Of an event; `begun` is its clock at the start, ms. Null where it says nothing. */
export function rowOf({ timeStamp, accelerationIncludingGravity: read }, begun) {
  if (!read || [read.x, read.y, read.z].every((one) => one === null)) return null;
  const minus = (one) => (one === null ? null : -one);
  return [(timeStamp - begun) / 1000, read.y, minus(read.x), read.z];
}

const stepsOf = (rows) => rows.slice(1).map((row, i) => row[0] - rows[i][0]);

/** {rate: readings a second, 0 where there are too few to tell; gaps; seconds}. */
export function paceOf(rows) {
  const seconds = rows.length ? rows.at(-1)[0] - rows[0][0] : 0;
  const lately = stepsOf(rows.slice(-SPAN))
    .filter((step) => step > 0)
    .sort((a, b) => a - b);
  if (lately.length < 10) return { rate: 0, gaps: 0, seconds };
  const usual = lately[lately.length >> 1];
  let gaps = 0;
  for (let i = 1; i < rows.length; ++i) if (rows[i][0] - rows[i - 1][0] > GAP * usual) ++gaps;
  return { rate: 1 / usual, gaps, seconds };
}

/** For each fix the first row that is not before it. */
function speedsByRow(rows, fixes) {
  const out = new Map();
  let at = 0;
  for (const [seconds, speed] of [...fixes].sort((a, b) => a[0] - b[0])) {
    while (at < rows.length && rows[at][0] < seconds) ++at;
    if (at < rows.length) out.set(at, speed);
  }
  return out;
}

const cell = (value, decimals) =>
  value === null || value === undefined ? "" : String(Number(value.toFixed(decimals)));

/** The text of the file, in parts; a cell is empty where a reading has none. */
export function csvParts(rows, fixes) {
  const speeds = speedsByRow(rows, fixes);
  const speedOf = (i) => (fixes.length ? [cell(speeds.get(i), 3)] : []);
  const line = (read, i) => [...read.map((one) => cell(one, 5)), ...speedOf(i)].join(",");
  const out = [`${[...NAMES, ...(fixes.length ? [SPEED] : [])].join(",")}\n`];
  for (let from = 0; from < rows.length; from += PART)
    out.push(`${rows.slice(from, from + PART).map((row, i) => line(row, from + i)).join("\n")}\n`);
  return out;
}
