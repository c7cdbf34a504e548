// What the device keeps beside a case's log while it is worked on, and when nobody needs it any more.
// Pure.

const DAY = 24 * 60 * 60 * 1000; // ms
const LONGEST = 30 * DAY; // that a draft waits for whoever began it

/** The case that a key of `kept` belongs to: a draft of a reckoning, a drive in progress; else null. */
export const caseOfKept = (key) => /^(?:reckoning|drive) (\S+)/.exec(key)?.[1] ?? null;

/**
 * Of `rows`, [key, value] of `kept`, the keys of cases that are over (closed, or not on this device)
 * and of drafts that were last typed into long ago; `saved` of a draft is when, ms since 1970.
 */
export const outlived = (rows, isOver, now) =>
  rows
    .filter(([key, value]) => {
      const id = caseOfKept(key);
      return id !== null && (isOver(id) || now - (value?.saved ?? now) > LONGEST);
    })
    .map(([key]) => key);
