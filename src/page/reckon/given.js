// What was typed into the form of a reckoning, as the engine takes it, and back. Pure.
//
// A draft is {texts: {field: text}, rows: {field: [[text of a column]]}, units: {"field" or
// "field/column": unit}, choices: {field: id}}. A form is one of `bay_tools`.

const NUMBER = /^[-+]?\d[\d.,/ ]*$|^[-+]?\.\d+$/;
const PLACE_UNITS = ["deg", "o'clock"];

export const unitsOf = (column) => (column.around ? PLACE_UNITS : column.units);

/** The unit that a bare number gets; a text that has one keeps it. */
export function withUnit(text, unit) {
  const trimmed = text.trim();
  return unit && NUMBER.test(trimmed) ? `${trimmed} ${unit}` : trimmed;
}

const keyOf = (field, c) => (field.kind === "rows" ? `${field.id}/${c}` : field.id);

/** `usual`: units that this device used last, by dimension. */
export function unitOf(field, c, draft, usual = {}) {
  const column = field.columns[c];
  const units = unitsOf(column);
  const chosen = draft.units[keyOf(field, c)] ?? usual[column.around ? "place" : column.dimension];
  return units.includes(chosen) ? chosen : (units[0] ?? "");
}

export const unitKey = keyOf;

const isEmpty = (row) => row.every((text) => !text.trim());

/** Rows of the screen: at least as many as are needed, each with a text for every column. */
export function rowsOf(field, draft) {
  const rows = (draft.rows[field.id] ?? []).map((row) => field.columns.map((_, c) => row[c] ?? ""));
  while (rows.length < Math.max(1, field.fewest)) rows.push(field.columns.map(() => ""));
  return rows;
}

/** Rows up to the last in which something stands: an empty one between others is a reading missed. */
export function filledRows(field, draft) {
  const rows = rowsOf(field, draft);
  return rows.slice(0, rows.findLastIndex((row) => !isEmpty(row)) + 1);
}

export function givenOf(form, draft, usual) {
  const out = {};
  for (const field of form.fields) {
    if (field.kind === "choice") {
      if (draft.choices[field.id]) out[field.id] = draft.choices[field.id];
    } else if (field.kind === "quantity") {
      const text = draft.texts[field.id] ?? "";
      if (text.trim()) out[field.id] = withUnit(text, unitOf(field, 0, draft, usual));
    } else {
      const rows = filledRows(field, draft).map((row) =>
        row.map((text, c) => withUnit(text, unitOf(field, c, draft, usual))),
      );
      if (rows.length)
        out[field.id] = field.columns.length === 1 ? rows.map(([text]) => text) : rows;
    }
  }
  return out;
}

/**
 * "us" or "metric": what all readings are in, so that answers come in the gauge's own units; `own`
 * where they are in both or tell nothing. A column's first unit is that of `own`.
 */
export function unitsGiven(form, given, own) {
  const other = own === "us" ? "metric" : "us";
  const found = form.fields.flatMap((field) =>
    [given[field.id] ?? []].flat().flatMap((row) =>
      [row].flat().flatMap((text, c) => {
        const column = field.columns?.[c];
        if (!column || column.around || column.units.length < 2 || !text) return [];
        return text.endsWith(` ${column.units[1]}`) ? other : own;
      }),
    ),
  );
  return found.length && found.every((units) => units === other) ? other : own;
}

/** Where nothing is typed, the usual value counts. */
export const isUsual = (field) =>
  field.kind === "quantity" && !field.required && field.usual !== "";

/** Nothing was typed yet that could be worked out. */
export const isBlank = (form, given) =>
  form.fields.every((field) => field.kind === "choice" || !(field.id in given));

/** A text with a unit the form has, as number and unit; else as it is. */
function apart(text, column) {
  const found = /^([-+]?[\d.,/ ]*\d)\s*(\D.*)$/.exec(text);
  return found && unitsOf(column).includes(found[2]) ? [found[1], found[2]] : [text, null];
}

/** The draft of an entry that was kept: `with` holds one line for every field. */
export function draftOf(form, kept) {
  const draft = { texts: {}, rows: {}, units: {}, choices: {} };
  const cell = (field, c, text) => {
    const [number, unit] = apart(text, field.columns[c]);
    if (unit) draft.units[keyOf(field, c)] ??= unit;
    return unit && draft.units[keyOf(field, c)] !== unit ? text : number;
  };
  for (const field of form.fields) {
    const line = kept[field.id];
    if (line === undefined) continue;
    if (field.kind === "choice") draft.choices[field.id] = line;
    else if (field.kind === "quantity") draft.texts[field.id] = cell(field, 0, line);
    else
      draft.rows[field.id] = line.split("; ").map((row) => {
        const texts = field.columns.length === 1 ? [row] : row.split(", ");
        return field.columns.map((_, c) => cell(field, c, texts[c] ?? ""));
      });
  }
  return draft;
}

const isNeeded = (field, given) =>
  field.kind === "rows"
    ? (given[field.id] ?? []).length < field.fewest && (field.required || field.id in given)
    : field.required && !(field.id in given);

const needWords = (field) =>
  field.kind === "rows" && field.fewest > 1
    ? `${field.label} (${field.fewest} or more)`
    : field.label;

/** A cell of the last row that was begun: it is still being typed. */
function isComing(field, given, row, column) {
  const rows = given[field.id] ?? [];
  return row === rows.length - 1 && rows[row] instanceof Array && !rows[row][column];
}

/**
 * Problems of an answer by where they belong: `needed` what is still to be typed, in words; `fields`
 * by field: [{row, column, words}], row null for the field as a whole; `others` in words.
 */
export function sorted(form, given, problems) {
  const out = { needed: [], fields: {}, others: [] };
  for (const field of form.fields) if (isNeeded(field, given)) out.needed.push(needWords(field));
  for (const { where = "", what, right } of problems) {
    const [, id, at, of] = /^\/given\/([^/]+)(?:\/(\d+))?(?:\/(\d+))?$/.exec(where) ?? [];
    const field = form.fields.find((one) => one.id === id);
    const words = right ? `${what}; needed: ${right}` : what;
    const row = at === undefined ? null : Number(at);
    const column = Number(of ?? 0);
    if (!field) out.others.push(words);
    else if (row === null && isNeeded(field, given)) continue;
    else if (row !== null && isComing(field, given, row, column))
      out.needed.push(`${field.columns[column].label} in row ${row + 1}`);
    else {
      const mine = (out.fields[id] ??= []);
      // What else is wrong with one cell follows from the first.
      if (!mine.some((one) => one.row === row && one.column === column))
        mine.push({ row, column, words });
    }
  }
  return out;
}
