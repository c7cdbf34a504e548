// Scale and place of a picture in a window: {scale, x, y} as Panzoom takes them. Pure.
const EDGE = 16; // px around the picture
const LARGEST = 1.5;
const LEGIBLE = 0.75; // of letters 11 units high; smaller ones are for the overview alone
const TO_READ = 1;

/** The middle of a box in the middle of the window. */
export const centred = (box, { width, height }, scale) => ({
  scale,
  x: width / 2 / scale - (box.x + box.width / 2),
  y: height / 2 / scale - (box.y + box.height / 2),
});

/** The whole box, as large as it can be. */
export function fitting(box, size) {
  const wide = (size.width - 2 * EDGE) / box.width;
  const high = (size.height - 2 * EDGE) / box.height;
  return centred(box, size, Math.min(wide, high, LARGEST));
}

/** One direction of a view, moved so that no more than the edge is empty beside the picture. */
function held(at, from, length, window, scale) {
  const shown = window / scale;
  if (length < shown) return (shown - length) / 2 - from;
  const edge = EDGE / scale;
  return Math.min(edge - from, Math.max(shown - edge - from - length, at));
}

/**
 * What is seen first: the whole where it can be read, else the box that it is about, without more
 * empty paper beside the picture than must be.
 */
export function beginning(box, size, about) {
  const whole = fitting(box, size);
  if (whole.scale >= LEGIBLE) return whole;
  const { x, y } = centred(about, size, TO_READ);
  return {
    scale: TO_READ,
    x: held(x, box.x, box.width, size.width, TO_READ),
    y: held(y, box.y, box.height, size.height, TO_READ),
  };
}

/** Of some boxes the one that is nearest to the middle of the left side of another. */
export function atTheLeft(boxes, box) {
  const far = (one) => Math.hypot(one.x - box.x, one.y + one.height / 2 - box.y - box.height / 2);
  return boxes.reduce((best, one) => (far(one) < far(best) ? one : best));
}
