// A share as a bar. The number always stands beside it.
import { svg } from "../lit.js";

export const bar = (share) => svg`<svg class="bar" viewBox="0 0 100 6" preserveAspectRatio="none"
    aria-hidden="true" focusable="false">
  <rect class="rail" width="100" height="6"></rect>
  <rect class="part" width=${Math.max(0.5, 100 * share)} height="6"></rect>
</svg>`;
