// From field to field by keys: Enter goes on, arrow keys move among readings, and both add a row
// where the last one is filled. Enter passes what may stay empty where it did so in the row before.

const cellAt = (root, field, row, column) =>
  root.querySelector(`input[data-field="${field}"][data-row="${row}"][data-column="${column}"]`);

function goTo(one) {
  one?.focus();
  one?.select?.();
}

/** Once what has changed is drawn. */
export const goToCell = (root, field, row, column) =>
  queueMicrotask(() => goTo(cellAt(root, field, row, column)));

/** -1 or 1 where the key leaves the cell to its side. */
function sideways({ key, target }) {
  const { selectionStart: from, selectionEnd: to, value } = target;
  const whole = from === 0 && to === value.length;
  if (key === "ArrowLeft" && (whole || (from === 0 && to === 0))) return -1;
  if (key === "ArrowRight" && (whole || from === value.length)) return 1;
  return 0;
}

function isPassed(root, { dataset: { field, row, column, optional }, value }) {
  const above = optional && !value && cellAt(root, field, Number(row) - 1, column);
  return Boolean(above) && !above.value;
}

/** `addRow(field)` adds one where the last row holds something; false where it does not. */
export function keyIn(event, addRow) {
  const { key, target, currentTarget: root } = event;
  if (target.tagName !== "INPUT" || event.ctrlKey || event.metaKey || event.altKey) return;
  const { field, row, column } = target.dataset;
  const at = { row: Number(row), column: Number(column) };
  let next = null;
  if (key === "Enter") {
    const all = [...root.querySelectorAll("input, button.keep")].filter(
      (one) => one.checkVisibility?.() ?? true,
    );
    next = all.slice(all.indexOf(target) + 1).find((one) => !isPassed(root, one));
    const last = field && (!next || next.dataset.field !== field);
    if (last && addRow(field))
      return (event.preventDefault(), goToCell(root, field, at.row + 1, 0));
  } else if (field && (key === "ArrowDown" || key === "ArrowUp")) {
    next = cellAt(root, field, at.row + (key === "ArrowDown" ? 1 : -1), at.column);
    if (!next && key === "ArrowDown" && addRow(field)) goToCell(root, field, at.row + 1, at.column);
  } else if (field && sideways(event)) {
    next = cellAt(root, field, at.row, at.column + sideways(event));
    if (!next) return;
  } else return;
  event.preventDefault();
  goTo(next);
}
