// What turns how fast: order lines of this vehicle against speed, measured frequencies as points,
// and the same numbers as a table.
import { answerOf } from "../case.js";
import { html } from "../lit.js";
import { measuredPoints, rowsOf } from "../order_lines.js";
import { state } from "../state.js";
import { unitOf } from "./drive.js";

const SPEEDS = { mph: [30, 40, 50, 60, 70, 80], "km/h": [50, 70, 90, 110, 130] };

const host = document.createElement("div");
host.className = "plot";
host.setAttribute("aria-hidden", "true");
let drawn = "";
let plot = null;

const shade = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

async function draw(speeds, rows, points, unit) {
  const key = JSON.stringify([speeds, rows, points, unit, state.device.theme, host.clientWidth]);
  if (key === drawn || !host.isConnected || !host.clientWidth) return;
  drawn = key;
  const { default: Plot } = await import("../lib/uplot.js");
  if (!document.querySelector("link[data-plot]")) {
    const link = Object.assign(document.createElement("link"), {
      rel: "stylesheet",
      href: "/lib/uplot.css",
    });
    link.dataset.plot = "";
    document.head.append(link);
  }
  const x = [...new Set([...speeds, ...points.map((point) => point.speed)])].sort((a, b) => a - b);
  const at = (row, speed) => {
    const known = speeds.indexOf(speed);
    if (known >= 0) return row.hz[known];
    const last = speeds.length - 1; // lines that follow the road speed are straight through zero
    return row.hz[last] === null ? null : (row.hz[last] * speed) / speeds[last];
  };
  const ink = shade("--ink");
  const dashes = [[], [8, 4], [3, 3], [8, 3, 2, 3]];
  const axis = (label) => ({
    label,
    stroke: ink,
    grid: { stroke: shade("--rule"), width: 1 },
    ticks: { stroke: shade("--rule") },
  });
  plot?.destroy();
  plot = new Plot(
    {
      width: host.clientWidth,
      height: 300,
      cursor: { show: false },
      legend: { show: false },
      scales: { x: { time: false } },
      axes: [axis(`Speed, ${unit}`), axis("Hz")],
      series: [
        {},
        ...rows.map((row, i) => ({
          label: row.about,
          stroke: shade("--accent"),
          width: 1.5,
          dash: dashes[i % 4],
          spanGaps: true,
          points: { show: false },
        })),
        {
          label: "measured",
          stroke: ink,
          width: 0,
          paths: () => null,
          points: { show: true, size: 11, fill: ink },
        },
      ],
    },
    [
      x,
      ...rows.map((row) => x.map((speed) => at(row, speed))),
      x.map((speed) => points.find((point) => point.speed === speed)?.hz ?? null),
    ],
    host,
  );
}

const cell = (hz) => (hz === null ? "—" : hz.toFixed(1));

export function linesView() {
  const unit = unitOf();
  const speeds = SPEEDS[unit];
  const slots = speeds.map((speed) => answerOf("lines", { speed: `${speed} ${unit}` }));
  if (slots.some((slot) => !slot.ok)) return html`<p class="quiet">Working it out</p>`;
  const answers = slots.map((slot) => slot.ok);
  const rows = rowsOf(answers);
  const points = measuredPoints(state.open.entries, unit);
  if (!rows.length)
    return html`<p class="quiet">
      Enter the tire size first: without it no line can be worked out.
    </p>`;
  requestAnimationFrame(() => draw(speeds, rows, points, unit));
  return html`${host}
    <p class="small quiet">
      From the bottom up: ${rows.map((row) => row.about).join(", ")}.
      ${points.length ? "Dots are what was measured." : ""}
    </p>
    <div class="scroll" tabindex="0" role="region" aria-label="Order lines as a table">
      <table>
        <caption>
          Hz at each speed
        </caption>
        <thead>
          <tr>
            <th scope="col">${unit}</th>
            ${speeds.map((speed) => html`<th scope="col">${speed}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${rows.map(
            (row) =>
              html`<tr>
                <th scope="row">${row.about}</th>
                ${row.hz.map((hz) => html`<td>${cell(hz)}</td>`)}
              </tr>`,
          )}
          ${points.map(
            (point) =>
              html`<tr>
                <th scope="row">measured at ${Math.round(point.speed)}</th>
                <td colspan=${speeds.length}>${cell(point.hz)}</td>
              </tr>`,
          )}
        </tbody>
      </table>
    </div> `;
}
