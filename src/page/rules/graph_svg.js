// The picture of a graph as the page may show it: read from the server's SVG, and built anew from
// nothing but known shapes, numbers and words. What is not known is left out.
import { toRules, THINGS } from "../router.js";

const SVG = "http://www.w3.org/2000/svg";
const ATTRIBUTES = {
  path: ["d"],
  polygon: ["points"],
  polyline: ["points"],
  ellipse: ["cx", "cy", "rx", "ry"],
  text: ["x", "y", "text-anchor", "font-size"],
};
const LINES = ["plain", "bold", "doubled", "dashed", "dotted"];
/** What such an attribute holds: numbers, letters of a path, the place of a text. */
const HARMLESS = /^[\s\d.,+\-eMLCSQZz]*$|^(start|middle|end)$/;

/** "rule began_after_tires" -> {kind, id}; the start has no kind. */
function namedIn(title) {
  const at = title.indexOf(" ");
  return at < 0
    ? { kind: title, id: title }
    : { kind: title.slice(0, at), id: title.slice(at + 1) };
}

/** "fact worst_speed->rule shakes_at_60", as the names of its vertices. */
function endsIn(title) {
  const [from = "", to = ""] = title.split("->");
  return { from, to };
}

function shapeOf(element) {
  const out = document.createElementNS(SVG, element.localName);
  for (const name of ATTRIBUTES[element.localName]) {
    const value = element.getAttribute(name);
    if (value !== null && HARMLESS.test(value)) out.setAttribute(name, value);
  }
  // The blank parts the lines of a name for those who hear it; nobody sees it.
  if (element.localName === "text") out.textContent = `${element.textContent.trim()} `;
  return out;
}

function partOf(group) {
  const known = [...group.querySelectorAll(Object.keys(ATTRIBUTES).join())].filter(
    (one) => one.namespaceURI === SVG,
  );
  const line = LINES.find((name) => group.classList.contains(name)) ?? "plain";
  const words = known
    .filter((one) => one.localName === "text")
    .map((one) => one.textContent.trim());
  const title = group.querySelector("title")?.textContent ?? "";
  return { title, line, words, shapes: known.map(shapeOf) };
}

/**
 * {vertices, edges} of what Graphviz wrote: {kind, id} or {from, to}, and {title, line, words, shapes};
 * null where it is no SVG.
 */
export function readPicture(text) {
  const read = new DOMParser().parseFromString(text, "image/svg+xml");
  if (read.documentElement.namespaceURI !== SVG) return null;
  const groups = (name) =>
    [...read.getElementsByTagNameNS(SVG, "g")].filter((one) => one.classList.contains(name));
  const vertices = groups("node").map(partOf);
  const edges = groups("edge").map(partOf);
  return {
    vertices: vertices.map((one) => ({ ...one, ...namedIn(one.title) })),
    edges: edges.map((one) => ({ ...one, ...endsIn(one.title) })),
  };
}

/** Where a vertex leads to: its page, or of a family its own drawing; null for gates and ends. */
export function wayTo({ kind, id }, kase) {
  if (THINGS.includes(kind)) return toRules({ kind, id }, kase);
  if (kind === "family")
    return toRules({ kind: "graph", graph: "evidence", around: kind, name: id }, kase);
  return null;
}

function group(part, className) {
  const out = document.createElementNS(SVG, "g");
  out.setAttribute("class", `${className} ${part.line}`);
  out.append(...part.shapes);
  return out;
}

/** The picture as elements: edges first, so that shapes stand before them. */
export function drawn({ vertices, edges }, kase) {
  const world = document.createElementNS(SVG, "g");
  world.setAttribute("class", "world");
  for (const edge of edges) world.append(group(edge, "edge"));
  for (const vertex of vertices) {
    const way = wayTo(vertex, kase);
    const shape = group(vertex, `vertex ${THINGS.includes(vertex.kind) ? vertex.kind : "point"}`);
    shape.dataset.name = vertex.title;
    if (!way) {
      world.append(shape);
      continue;
    }
    const link = document.createElementNS(SVG, "a");
    link.setAttribute("href", way);
    link.append(shape);
    world.append(link);
  }
  return world;
}
