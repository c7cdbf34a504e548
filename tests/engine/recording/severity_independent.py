#!/usr/bin/python3
"""What engine/recording computed of severity, computed again by other means (scipy, numpy).

    severity_independent.py FILE

As tests/engine/physics/independent.py, which has the weightings' zeros and poles. Signals are sums of
bursts {hz, amplitude, phase, at, width}: a sine under a Gaussian, or without an end where width is 0.
"""

import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "physics"))
import independent
from independent import ALLOWED, TURN, np, signal

AXES = ("wd", "wd", "wk")
FINE = 32000  # Hz; at 80 Hz the bilinear transform is off by 2e-5 there


def heard(bursts, time):
    total = np.zeros_like(time)
    for of in bursts:
        envelope = np.exp(-0.5 * ((time - of["at"]) / of["width"]) ** 2) if of["width"] else 1.0
        total += of["amplitude"] * envelope * np.sin(TURN * of["hz"] * time + of["phase"])
    return total


def within(part, values):
    """A scale under which a difference of that part of the largest value is just allowed."""
    return np.full(values.shape, part / ALLOWED * abs(values).max())


def steady(inputs):
    """Sines without begin, each by its response (freqs_zpk)."""
    time = np.arange(inputs["count"]) / inputs["rate"]
    hz = np.array([of["hz"] for of in inputs["bursts"]])
    response = signal.freqs_zpk(*independent.prototype(inputs["name"]), worN=TURN * hz)[1]
    found = np.zeros_like(time)
    for of, gain in zip(inputs["bursts"], response):
        found += of["amplitude"] * (gain * np.exp(1j * (TURN * of["hz"] * time + of["phase"]))).imag
    part = slice(inputs["first"], inputs["last"])
    return found[part], within(1e-5, found)[part]


def weighted(name, bursts, rate, count):
    """By the bilinear transform at a high rate, sample by sample, from long before on."""
    times = round(FINE / rate)
    fine = rate * times
    time = np.arange(count * times) / fine
    sections = signal.zpk2sos(*signal.bilinear_zpk(*independent.prototype(name), fine))
    return signal.sosfilt(sections, heard(bursts, time))[::times]


def passing(inputs):
    found = weighted(inputs["name"], inputs["bursts"], inputs["rate"], inputs["count"])
    return found, within(3e-5, found)


def figures(inputs):
    """R.m.s. by axis and in all, MTVV, VDV, crest factor, by plain loops over the samples that count."""
    rate, count, first = inputs["rate"], inputs["count"], inputs["first"]
    axes = [weighted(name, bursts, rate, count)[first:] for name, bursts in zip(AXES, inputs["axes"])]
    squares = sum(axis**2 for axis in axes)
    running = [squares[i : i + rate].mean() for i in range(len(squares) - rate + 1)]
    rms = [np.sqrt(np.mean(axis**2)) for axis in axes]
    dose = max(np.sum(axis**4 / rate) ** 0.25 for axis in axes)
    most = int(np.argmax(rms))
    found = np.array(rms + [np.sqrt(np.mean(squares)), max(running) ** 0.5, dose, abs(axes[most]).max() / rms[most]])
    return found, found * 1e-5 / ALLOWED


if __name__ == "__main__":
    sys.exit(independent.main({f.__name__: f for f in (steady, passing, figures)}))
