// What a person says of a recording beside its bytes: what the engine asked for when it refused,
// which column is what, and what was held. Pure.

const units = (right, id, label, choices) => ({ right, id, label, choices });

/** Each is known by what the engine says would be right. */
const QUESTIONS = [
  units(/\bg, mg or m\/s2|the unit looks like|check their unit/, "acceleration_unit", "Unit of the accelerations", ["g", "mg", "m/s2"]),
  units(/\bmph, km\/h, m\/s or knots/, "speed_unit", "Unit of the speeds", ["mph", "km/h", "m/s", "knots"]),
  units(/\bs, ms, us or ns/, "time_unit", "Unit of the times", ["s", "ms", "us", "ns"]),
  units(/\brpm or Hz/, "engine_unit", "Unit of the engine speed", ["rpm", "Hz"]),
  {
    right: /how many rows make a second/,
    id: "rows_per_second",
    label: "Rows a second",
    example: "100 Hz",
  },
  {
    right: /what the recorder's sensitivity makes of 1\.0|full scale/,
    id: "full_scale",
    label: "Full scale of the WAV file",
    example: "2 g",
  },
  {
    right: /name the channels|the WAV file has channels/,
    id: "channels",
    label: "Channels that are ahead, left and up; 0 for none",
    example: "1, 2, 3",
  },
];

export const questionOf = (id) => QUESTIONS.find((one) => one.id === id);

/** Ids of what was asked for in these problems of the engine. */
export const askedBy = (problems) =>
  QUESTIONS.filter(({ right }) => problems.some((one) => right.test(one.right ?? ""))).map(
    ({ id }) => id,
  );

/** Whether these problems are of columns that the engine cannot tell apart by their names. */
export const askColumns = (problems) =>
  problems.some(({ right }) => /say which column is what/.test(right ?? ""));

/** What is said of one file: `given` by question, `columns` that the engine found in it. */
export const nothingSaid = () => ({
  given: {},
  asked: [], // questions that the engine had
  columns: [], // {name, unit, first, role}
  unfolded: false, // the form for columns
});

/** By role the name of its column, "" for none: as a person has said, else as the engine reads it. */
export function columnsSaid({ given, columns }) {
  if (given.columns) return given.columns;
  const named = (role) => columns.find((one) => one.role === role)?.name ?? "";
  return Object.fromEntries(["time", "x", "y", "z", "speed", "engine"].map((role) => [role, named(role)]));
}

/** The same once `role` has the column `name`; another one that had it has none. */
export function withColumn(file, role, name) {
  const others = Object.entries(columnsSaid(file)).map(([one, had]) => [one, had === name ? "" : had]);
  return { ...Object.fromEntries(others), [role]: name };
}

const listOf = (text) =>
  text
    .split(/[,;]/)
    .map((one) => one.trim())
    .filter(Boolean);

/** A bare number gets the unit that its field shows. */
export const withUnit = (text, unit) =>
  /^[-+]?[\d.,]+$/.test(text.trim()) ? `${text.trim()} ${unit}` : text.trim();

function readingOf({ full_scale: scale, channels, ...given }) {
  const out = Object.fromEntries(Object.entries(given).filter(([, text]) => text));
  if (out.rows_per_second) out.rows_per_second = withUnit(out.rows_per_second, "Hz");
  if (scale) out.full_scale = listOf(scale);
  if (channels) out.channels = listOf(channels).map(Number);
  return out;
}

/** Of `slot`: {said: {file, speeds}, held: {speed, rpm, offset}, by}; `unit` of a bare speed. */
export function requestOf({ said, held, by }, unit) {
  const out = { reading: readingOf(said.file.given), speed_file: readingOf(said.speeds.given) };
  if (held.speed?.trim()) out.speed = withUnit(held.speed, unit);
  if (held.rpm?.trim()) out.rpm = withUnit(held.rpm, "rpm");
  if (held.offset?.trim()) out.offset = withUnit(held.offset, "s");
  if (by) out.by = by;
  return out;
}
