// Numbers for people. Pure.

/** As the program itself writes it: a page and a report of one case say the same. */
export function percent(probability) {
  if (probability > 0 && probability < 0.005) return "under 1 %";
  if (probability >= 0.995) return "over 99 %";
  return `${Math.round(100 * probability)} %`;
}

/** Three figures are enough to read: "0.0197 in". */
export function short(text) {
  return String(text).replace(/-?\d+\.\d+/, (number) =>
    String(Number(Number(number).toPrecision(3))),
  );
}

export function minutes(value) {
  if (value < 1) return "under 1 minute";
  const whole = Math.round(value);
  if (whole < 90) return whole === 1 ? "1 minute" : `${whole} minutes`;
  return `${Number((whole / 60).toFixed(1))} hours`;
}

export const signed = (value, digits = 1) =>
  `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(digits)}`;

/** "2026-05-04T09:12:00Z" in the reader's own clock. */
export function moment(at) {
  const date = new Date(at);
  if (!at || Number.isNaN(date.getTime())) return "";
  const day = date.toLocaleDateString(undefined, { month: "short", day: "numeric" });
  return `${day} ${date.toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit" })}`;
}
