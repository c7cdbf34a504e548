// The one door to lit-html: templates that escape what is put into them.
export { html, nothing, render, svg } from "./lib/lit/lit-html.js";
export { keyed } from "./lib/lit/directives/keyed.js";
