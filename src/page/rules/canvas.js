// The window in which a graph is moved and made larger: by pointer, pinch and wheel (Panzoom), by
// buttons and by keys. It jumps; nothing glides.
import Panzoom from "../lib/panzoom.js";
import { atTheLeft, beginning, centred, fitting } from "./fitting.js";

const STEP = 80; // px of an arrow key
const LARGER = 1.3;
const STILL = 5; // px that the pointer of a click may move

const host = document.createElement("div");
host.className = "canvas";
host.tabIndex = 0;
host.setAttribute("role", "group");
host.setAttribute("aria-label", "The graph");
host.setAttribute("aria-describedby", "canvas-keys");

let now = null; // {key, world, about, moving, box, width}

const size = () => ({ width: host.clientWidth, height: host.clientHeight });

function put({ scale, x, y }) {
  now.moving.zoom(scale, { force: true });
  now.moving.pan(x, y, { force: true });
}

/** What a large picture is first shown at: what it is about, what is offered now, its left. */
function subject() {
  const all = [...now.world.querySelectorAll(".vertex")];
  const one =
    all.find((vertex) => vertex.dataset.name === now.about) ??
    all.find((vertex) => vertex.matches(".check.doubled"));
  return one
    ? one.getBBox()
    : atTheLeft(
        all.map((vertex) => vertex.getBBox()),
        now.box,
      );
}

/** Puts the picture into the window, once that has a width, and again when the width is another. */
function show() {
  if (!now || !host.clientWidth || now.width === host.clientWidth) return;
  now.moving?.destroy();
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.append(now.world);
  host.replaceChildren(svg);
  now.width = host.clientWidth;
  now.box = now.world.getBBox();
  const begin = beginning(now.box, size(), subject());
  now.moving = Panzoom(now.world, {
    canvas: true,
    cursor: "grab",
    handleStartEvent: () => {}, // a click is still a click
    minScale: Math.min(0.2, fitting(now.box, size()).scale),
    maxScale: 4,
    startScale: begin.scale,
    startX: begin.x,
    startY: begin.y,
  });
  put(begin);
}

new ResizeObserver(show).observe(host);

/** The window with this picture in it; `about`: the name of the vertex that it is drawn around. */
export function canvasOf(key, makeWorld, about) {
  if (now?.key !== key) {
    now?.moving?.destroy();
    now = { key, world: makeWorld(), about };
    requestAnimationFrame(show);
  }
  return host;
}

// Before the picture stands in its window there is nothing to move.
export function fit() {
  if (now?.moving) put(fitting(now.box, size()));
}

export function zoom(larger) {
  if (!now?.moving) return;
  const { left, top } = host.getBoundingClientRect();
  const middle = { clientX: left + size().width / 2, clientY: top + size().height / 2 };
  now.moving.zoomToPoint(now.moving.getScale() * (larger ? LARGER : 1 / LARGER), middle);
}

function pan(x, y) {
  const scale = now.moving.getScale();
  now.moving.pan(x / scale, y / scale, { relative: true });
}

const KEYS = {
  ArrowLeft: () => pan(STEP, 0),
  ArrowRight: () => pan(-STEP, 0),
  ArrowUp: () => pan(0, STEP),
  ArrowDown: () => pan(0, -STEP),
  "+": () => zoom(true),
  "=": () => zoom(true),
  "-": () => zoom(false),
  0: fit,
};

host.addEventListener("keydown", (event) => {
  if (!now?.moving || event.ctrlKey || event.metaKey || event.altKey || !KEYS[event.key]) return;
  event.preventDefault();
  KEYS[event.key]();
});

host.addEventListener("wheel", (event) => now?.moving?.zoomWithWheel(event), { passive: false });

// A link that has the focus is brought into the window.
host.addEventListener("focusin", ({ target }) => {
  if (!now?.moving || !target.matches("a:focus-visible")) return;
  const there = target.getBoundingClientRect();
  const here = host.getBoundingClientRect();
  const outside =
    there.left < here.left ||
    there.right > here.right ||
    there.top < here.top ||
    there.bottom > here.bottom;
  if (outside) put(centred(target.getBBox(), size(), now.moving.getScale()));
});

// What was a drag is no click; and a browser's own dragging of links would end ours.
let from = null;
host.addEventListener("dragstart", (event) => event.preventDefault());
host.addEventListener("pointerdown", ({ clientX, clientY }) => (from = { clientX, clientY }));
host.addEventListener("click", (event) => {
  if (from && Math.hypot(event.clientX - from.clientX, event.clientY - from.clientY) > STILL)
    event.preventDefault();
  from = null;
});
