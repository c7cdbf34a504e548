// The picture of the order lines. It is drawn when its place has a width, and again when that or what
// it shows has changed; the table beside it says the same to those who cannot see it.
import { plotData } from "../order_lines.js";
import { state } from "../state.js";

const HEIGHT = 300;
const DASHES = [[], [8, 4], [3, 3], [8, 3, 2, 3]];

const host = document.createElement("div");
host.className = "plot";
host.setAttribute("aria-hidden", "true");
let wanted = null;
let drawn = "";
let plot = null;

const shade = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

function sheet() {
  if (document.querySelector("link[data-plot]")) return;
  const link = document.createElement("link");
  Object.assign(link, { rel: "stylesheet", href: "/lib/uplot.css" });
  link.dataset.plot = "";
  document.head.append(link);
}

function axis(label) {
  const rule = shade("--rule");
  return {
    label,
    stroke: shade("--ink"),
    grid: { stroke: rule, width: 1 },
    ticks: { stroke: rule },
  };
}

const lineOf = (row, i) => ({
  label: row.about,
  stroke: shade("--accent"),
  width: 1.5,
  dash: DASHES[i % DASHES.length],
  spanGaps: true,
  points: { show: false },
});

const dots = () => ({
  label: "measured",
  stroke: shade("--ink"),
  width: 0,
  paths: () => null,
  points: { show: true, size: 11, fill: shade("--ink") },
});

async function draw() {
  const width = host.clientWidth;
  if (!width || !wanted) return;
  const { speeds, rows, points, unit } = wanted;
  const key = JSON.stringify([wanted, state.device.theme, width]);
  if (key === drawn) return;
  drawn = key;
  sheet();
  const { default: Plot } = await import("../lib/uplot.js");
  if (key !== drawn) return;
  const options = {
    width,
    height: HEIGHT,
    cursor: { show: false },
    legend: { show: false },
    scales: { x: { time: false } },
    axes: [axis(`Speed, ${unit}`), axis("Hz")],
    series: [{}, ...rows.map(lineOf), dots()],
  };
  plot?.destroy();
  plot = new Plot(options, plotData(speeds, rows, points), host);
}

new ResizeObserver(draw).observe(host);

/** The element that shows it. */
export function plotOf(speeds, rows, points, unit) {
  wanted = { speeds, rows, points, unit };
  queueMicrotask(draw);
  return host;
}
