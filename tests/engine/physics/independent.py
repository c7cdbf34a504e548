#!/usr/bin/python3
"""What engine/physics computed, computed again by other means (scipy, numpy).

    independent.py FILE

FILE is a JSON list of {"what", "inputs", "values"}. Prints a line for each, "agrees" or "differs" with
the largest difference relative to the scale of the value, and ends with 1 where one differs by
more than 1e-6, with 2 where it cannot be told.
"""

import json
import sys

try:
    import numpy as np
    from scipy import integrate, linalg, optimize, signal
except ImportError as error:
    print(f"{error}: install Debian's python3-scipy, and run with Debian's python3", file=sys.stderr)
    sys.exit(2)

ALLOWED = 1e-6
TURN = 2 * np.pi

# ISO 8041-1: f1, f2, f3, f4, Q4, f5, Q5, f6, Q6, K. None: infinite.
HAND = 100 / TURN
SHIP = 1 / (0.028 * TURN)
WEIGHTINGS = {
    "wk": (0.4, 100, 12.5, 12.5, 0.63, 2.37, 0.91, 3.35, 0.91, 1),
    "wd": (0.4, 100, 2, 2, 0.63, None, None, None, None, 1),
    "wc": (0.4, 100, 8, 8, 0.63, None, None, None, None, 1),
    "we": (0.4, 100, 1, 1, 0.63, None, None, None, None, 1),
    "wj": (0.4, 100, None, None, None, 3.75, 0.91, 5.32, 0.91, 1),
    "wb": (0.4, 100, 16, 16, 0.55, 2.5, 0.90, 4, 0.95, 1.024),
    "wm": (10**-0.1, 100, SHIP, SHIP, 0.5, None, None, None, None, 1),
    "wh": (10**0.8, 10**3.1, HAND, HAND, 0.64, None, None, None, None, 1),
}


def interleaved(response):
    """Real and imaginary parts in turn, each at the scale of the magnitude."""
    return np.column_stack([response.real, response.imag]).ravel(), np.repeat(abs(response), 2)


def pair(hz, q):
    """Roots of s^2 + (w / q) s + w^2."""
    w = TURN * hz
    return list(np.roots([1, w / q, w * w]))


def prototype(name):
    """Zeros, poles and one gain of a weighting."""
    f1, f2, f3, f4, q4, f5, q5, f6, q6, gain = WEIGHTINGS[name]
    zeros = [0, 0]
    poles = pair(f1, 0.5**0.5) + pair(f2, 0.5**0.5)
    gain *= (TURN * f2) ** 2
    if f4:
        zeros += [-TURN * f3]
        poles += pair(f4, q4)
        gain *= TURN * f4**2 / f3
    if f5:
        zeros += pair(f5, q5)
        poles += pair(f6, q6)
        # ((s/w5)^2 + ...) / ((s/w6)^2 + ...) (w5/w6)^2 has 1 for its highest coefficients.
    return zeros, poles, gain


def weighting(inputs):
    """By scipy.signal.freqs_zpk."""
    return interleaved(signal.freqs_zpk(*prototype(inputs["name"]), worN=TURN * np.array(inputs["hz"]))[1])


def matrices(car):
    """Mass, damping and stiffness of body and wheel."""
    c, ks, kt = car["damper"], car["spring"], car["tire"]
    mass = np.diag([car["sprung"], car["unsprung"]])
    return mass, c * np.array([[1, -1], [-1, 1]]), np.array([[ks, -ks], [-ks, ks + kt]])


def body_acceleration(inputs, push):
    """Body's acceleration for a push at the wheel, by a linear solve at each frequency."""
    mass, damping, stiffness = matrices(inputs["car"])
    found = []
    for hz in inputs["hz"]:
        s = 1j * TURN * hz
        found.append(s * s * np.linalg.solve(s * s * mass + s * damping + stiffness, [0, push(s)])[0])
    return interleaved(np.array(found))


def body_per_force(inputs):
    return body_acceleration(inputs, lambda s: 1)


def body_per_road(inputs):
    return body_acceleration(inputs, lambda s: inputs["car"]["tire"] / (s * s))


def natural_frequencies(inputs):
    mass, _, stiffness = matrices(inputs["car"])
    found = np.sqrt(linalg.eigh(stiffness, mass, eigvals_only=True)) / TURN
    return found, found


def motion(inputs):
    """Runge-Kutta of eighth order, from one bend of road and force to the next."""
    mass, damping, stiffness = matrices(inputs["car"])
    body, wheel = mass[0, 0], mass[1, 1]
    tire, step = inputs["car"]["tire"], inputs["step"]
    road, force = inputs["road"], inputs["force"]
    state = np.zeros(4)  # z_s, z_s', z_u, z_u'
    states, accelerations = [], []
    for i in range(len(road) - 1):

        def rates(t, x):
            part = t / step
            push = tire * (road[i] + part * (road[i + 1] - road[i])) + force[i] + part * (force[i + 1] - force[i])
            inner = -(damping @ x[1::2]) - stiffness @ x[::2]
            return [x[1], inner[0] / body, x[3], (inner[1] + push) / wheel]

        solved = integrate.solve_ivp(rates, (0, step), state, method="DOP853", rtol=1e-11, atol=1e-13)
        state = solved.y[:, -1]
        states.append(state)
        accelerations.append(rates(step, state)[1])
    found = np.column_stack([states, accelerations])
    return found.ravel(), np.tile(abs(found).max(axis=0), len(found))


def driven(angle, turn):
    """Where the two arms of a joint's cross are at right angles in space, by brentq."""
    arm = np.array([0, np.sin(turn), np.cos(turn)])  # of the shaft along x, from the plane x-z
    along = np.array([-np.sin(angle), 0, np.cos(angle)])  # in the plane, across the other shaft
    across = np.array([0, 1, 0])
    return optimize.brentq(
        lambda t: arm @ (np.cos(t) * across - np.sin(t) * along), turn - np.pi / 2, turn + np.pi / 2, xtol=1e-14
    )


def hooke_driven_turn(inputs):
    found = np.array([driven(inputs["angle"], turn) for turn in inputs["turn"]])
    return found, at_largest(found - inputs["turn"])


def at_largest(deviations):
    return np.full(len(deviations), abs(deviations).max())


def speed_ratio(angle, turn):
    """Slope of the driven turn, an arc whose tangent is y / x. `turn` may be complex."""
    x, y = np.cos(turn) * np.cos(angle), np.sin(turn)
    return np.cos(angle) / (x * x + y * y)


def hooke_speed_ratio(inputs):
    """Slope of the driven turn, by central differences of sixth order."""
    width = 5e-3
    found = []
    for turn in inputs["turn"]:
        at = {k: driven(inputs["angle"], turn + k * width) for k in (-3, -2, -1, 1, 2, 3)}
        found.append((45 * (at[1] - at[-1]) - 9 * (at[2] - at[-2]) + (at[3] - at[-3])) / (60 * width))
    return np.array(found), at_largest(np.array(found) - 1)


def hooke_harmonic(inputs):
    turns = np.arange(2048) * TURN / 2048
    lead = np.array([driven(inputs["angle"], turn) for turn in turns]) - turns
    found = []
    for n in inputs["harmonics"]:
        # The lead's harmonic n has n times its amplitude in speed; beside it stands the mean, 1.
        found.append(2 * abs(np.mean(lead * np.exp(-1j * n * turns))) * n if n else 1.0)
    return np.array(found), np.maximum(np.array(found), 1e-9)


def hooke_peak_acceleration(inputs):
    """Largest slope of the speed ratio (complex step), by a search."""
    slope = lambda turn: speed_ratio(inputs["angle"], turn + 1e-30j).imag / 1e-30
    turns = np.linspace(0, np.pi, 721)
    best = turns[np.argmax([slope(turn) for turn in turns])]
    found = optimize.minimize_scalar(
        lambda turn: -slope(turn), bounds=(best - 0.01, best + 0.01), method="bounded", options={"xatol": 1e-10}
    )
    peak = np.array([-found.fun * inputs["speed"] ** 2])
    return peak, peak


def driven_lead(inputs):
    found = []
    for start in inputs["turn"]:
        turn = start
        for i, (angle, phase) in enumerate(zip(inputs["angles"], inputs["phases"])):
            if i:
                turn += phase + np.pi / 2
            turn = driven(angle, turn)
        found.append(turn - start - sum(inputs["phases"][1:]) - (len(inputs["angles"]) - 1) * np.pi / 2)
    return np.array(found), at_largest(np.array(found))


def critical_speed(inputs):
    """Finite elements of a beam on pinned ends (cubic Hermite), lowest eigenvalue."""
    outer, inner, length = inputs["outer"], inputs["inner"], inputs["length"]
    area, second = np.pi / 4 * (outer**2 - inner**2), np.pi / 64 * (outer**4 - inner**4)
    parts = 24
    h = length / parts
    stiff = np.array([[12, 6, -12, 6], [6, 4, -6, 2], [-12, -6, 12, -6], [6, 2, -6, 4]], dtype=float)
    heavy = np.array([[156, 22, 54, -13], [22, 4, 13, -3], [54, 13, 156, -22], [-13, -3, -22, 4]]) / 420
    # Slopes are taken times h, so that both matrices are without units.
    k, m = np.zeros((2 * parts + 2, 2 * parts + 2)), np.zeros((2 * parts + 2, 2 * parts + 2))
    for i in range(parts):
        k[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += stiff
        m[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += heavy
    free = [i for i in range(2 * parts + 2) if i not in (0, 2 * parts)]
    lowest = linalg.eigh(k[np.ix_(free, free)], m[np.ix_(free, free)], eigvals_only=True)[0]
    bending = inputs["youngs"] * second / h**3
    found = np.array([np.sqrt(lowest * bending / (inputs["density"] * area * h)) / TURN])
    return found, found


COMPUTED = {
    f.__name__: f
    for f in (weighting, body_per_force, body_per_road, natural_frequencies, motion, hooke_driven_turn,
              hooke_speed_ratio, hooke_harmonic, hooke_peak_acceleration, driven_lead, critical_speed)
}


def main(computed=COMPUTED):
    with open(sys.argv[1], encoding="utf-8") as file:
        asked = json.load(file)
    if not asked:
        print("nothing to compute", file=sys.stderr)
        return 2
    wrong = 0
    for entry in asked:
        found, scale = computed[entry["what"]](entry["inputs"])
        values = np.array(entry["values"], dtype=float)
        if values.shape != found.shape:
            print(f"{entry['what']}: {values.size} values where {found.size} are due", file=sys.stderr)
            return 2
        off = float((abs(values - found) / scale).max())
        agrees = off <= ALLOWED  # never with a value that is no number
        wrong += not agrees
        print(f"{entry['what']} {'agrees' if agrees else 'differs'} {values.size} values, {off:.1e}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
