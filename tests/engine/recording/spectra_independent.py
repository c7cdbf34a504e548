#!/usr/bin/python3
"""What engine/recording computed of spectra and even steps of road, computed again by scipy.

    spectra_independent.py FILE

As tests/engine/physics/independent.py. Spectra: 1e-6 of each value; both are the same sums in another order. Even steps: 3e-4 of the largest
value; the filter's gain is one within 2e-4, where scipy goes through the whole Fourier series.
"""

import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "physics"))
import independent
from independent import ALLOWED, np, signal
from scipy import integrate, interpolate

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


def allowed(part, compute):
    """Differences up to that part of its scale."""
    def scaled(inputs):
        found, scale = compute(inputs)
        return found, scale * part / ALLOWED
    return scaled


if __name__ == "__main__":
    sys.exit(independent.main({"welch": allowed(1e-6, welch), "even_steps": allowed(3e-4, even_steps)}))
