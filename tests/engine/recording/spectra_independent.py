#!/usr/bin/python3
"""What engine/recording computed of spectra and even steps of road, computed again by scipy.

    spectra_independent.py FILE

FILE is a JSON list of {"what", "inputs", "values"}. Prints a line for each, "agrees" or "differs" with
the largest difference relative to the scale of the value, and ends with 1 where one differs by more
than is allowed, with 2 where it cannot be told.

Spectra: 1e-6 of each value; both are the same sums in another order. Even steps: 3e-4 of the largest
value; the filter's gain is one within 2e-4, where scipy goes through the whole Fourier series.
"""

import json
import sys

try:
    import numpy as np
    from scipy import integrate, interpolate, signal
except ImportError as error:
    print(f"{error}: install Debian's python3-scipy, and run with Debian's python3", file=sys.stderr)
    sys.exit(2)

FINER = 32


def welch(inputs):
    _, density = signal.welch(
        inputs["samples"], fs=inputs["rate"], window="hann", nperseg=inputs["points"],
        noverlap=inputs["points"] // 2, detrend="linear", scaling="density")
    found = density[: inputs["lines"]]
    return found, found


def even_steps(inputs):
    """The periodic signal on a 32 times finer grid by its Fourier series, then quintic splines; times
    by inverting the integral of a speed that goes in straight lines."""
    samples, rate = np.array(inputs["samples"]), inputs["rate"]
    fine = signal.resample(samples, FINER * samples.size)
    of_time = interpolate.make_interp_spline(np.arange(fine.size) / (rate * FINER), fine, k=5)
    speed, step = np.array(inputs["speed"]), 1 / rate
    driven = integrate.cumulative_trapezoid(speed, dx=step, initial=0)
    found = []
    for metres in inputs["begin"] + np.arange(inputs["count"]) / inputs["per_metre"]:
        row = int(np.clip(np.searchsorted(driven, metres) - 1, 0, speed.size - 2))
        bend = (speed[row + 1] - speed[row]) / step
        # Rounding may put the root just beside the step.
        roots = np.roots([bend / 2, speed[row], driven[row] - metres])
        found.append(row * step + min(roots.real, key=lambda t: abs(t - step / 2)))
    values = of_time(np.array(found))
    return values, np.full(values.size, abs(values).max())


COMPUTED = {"welch": (welch, 1e-6), "even_steps": (even_steps, 3e-4)}


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        asked = json.load(file)
    if not asked:
        print("nothing to compute", file=sys.stderr)
        return 2
    wrong = 0
    for entry in asked:
        compute, allowed = COMPUTED[entry["what"]]
        found, scale = compute(entry["inputs"])
        values = np.array(entry["values"], dtype=float)
        if values.shape != found.shape:
            print(f"{entry['what']}: {values.size} values where {found.size} are due", file=sys.stderr)
            return 2
        off = float((abs(values - found) / scale).max())
        agrees = off <= allowed  # never with a value that is no number
        wrong += not agrees
        print(f"{entry['what']} {'agrees' if agrees else 'differs'} {values.size} values, {off:.1e}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
