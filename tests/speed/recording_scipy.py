#!/usr/bin/python3
"""An hour of three axes at 1 kHz: Welch spectra in time, even steps of road, Welch spectra there, with
numpy and scipy; then perrev's benchmark of the whole analysis, and the ratio of CPU times.

    recording_scipy.py build/tests/speed/perrev_speed

Even steps are by straight lines here (numpy.interp), with nothing against aliasing: far less work than
the filter of engine/recording/resampling.h. Lines, maps and tracks are not looked for at all.
"""

import json
import resource
import subprocess
import sys
import time

import numpy as np
from scipy import integrate, signal

RATE, SECONDS, PER_METRE = 1000, 3600, 30


def made_up():
    rng = np.random.default_rng(1)
    at = np.arange(RATE * SECONDS) / RATE
    speed = 25 + 5 * np.sin(2 * np.pi * at / 60)
    metres = integrate.cumulative_trapezoid(speed, dx=1 / RATE, initial=0)
    return metres, [0.2 * rng.standard_normal(at.size) + 0.1 * np.cos(np.pi * metres) for _ in range(3)]


def spectra(metres, axes):
    steps = np.arange(0, metres[-1], 1 / PER_METRE)
    for axis in axes:
        signal.welch(axis, fs=RATE, nperseg=4 * RATE, detrend="linear")
        signal.welch(np.interp(steps, metres, axis), fs=PER_METRE, nperseg=128 * PER_METRE, detrend="linear")


def benchmarked(program):
    told = subprocess.run(
        [program, "--benchmark_filter=analyse_hour", "--benchmark_format=json"],
        check=True, capture_output=True, text=True)
    return {row["name"]: row for row in json.loads(told.stdout)["benchmarks"]}


def main():
    measured = benchmarked(sys.argv[1])  # before there is data: a child begins with its parent's peak
    data = made_up()
    begin = time.process_time()
    spectra(*data)
    theirs = time.process_time() - begin
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"numpy and scipy, spectra alone   {theirs:6.2f} s  {peak:5.0f} MB")
    for name, row in measured.items():
        ours = row["cpu_time"] / 1000
        print(f"{name:32} {ours:6.2f} s  {row['peak_MB']:5.0f} MB  {ours / theirs:.2f} times as long")


if __name__ == "__main__":
    main()
