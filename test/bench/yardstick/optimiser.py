"""A yardstick for solves: the Heron's settings without their steps, by a general-purpose optimiser (SciPy's SLSQP) over a general-purpose
integrator (its RK45), from the middle of the ranges. Reads one line of the numbers that bare.cpp reads (the propellant mass is that of a
full load, the cap 1), then a line for every solve. Writes for each: milliseconds, flights, and the two settings."""

import sys
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import minimize

numbers = [float(word) for word in sys.stdin.readline().split()]
(dry, full, vacuum, sea_level, exhaust, _, drag_area, radius, gravity, ground, gas, top, count) = numbers[:13]
layers = np.reshape(numbers[13:], (int(count), 4))
bases = layers[:, 0]


def air(h):
    """Pressure and density of the 1976 standard below its 86 km, none above."""
    if h >= top:
        return 0.0, 0.0
    height = radius * h / (radius + h)
    base, warm, lapse, foot = layers[max(np.searchsorted(bases, height, side="right") - 1, 0)]
    here = warm + lapse * (height - base)
    if lapse == 0:
        pressure = foot * np.exp(-gravity * (height - base) / (gas * warm))
    else:
        pressure = foot * (here / warm) ** (-gravity / (gas * lapse))
    return pressure, pressure / (gas * here)


flights = 0
flown = {}


def fly(load, cap):
    """Lift-off ratio, peak g, peak dynamic pressure and apoapsis."""
    global flights
    if (load, cap) in flown:
        return flown[load, cap]
    flights += 1
    flow = cap * vacuum / exhaust
    burn = full * load / flow

    def forces(t, h, v, burning):
        pressure, density = air(h)
        thrust = cap * (vacuum - (vacuum - sea_level) * pressure / ground) if burning else 0.0
        mass = dry + full * load - flow * t if burning else dry
        return (thrust - density / 2 * drag_area * v * abs(v)) / mass, density / 2 * v * v

    def rates(t, state, burning):
        h, v = state
        return v, forces(t, h, v, burning)[0] - gravity * (radius / (radius + h)) ** 2

    def still(t, state, burning):
        return state[1]

    still.terminal = True
    still.direction = -1
    options = {"method": "RK45", "rtol": 1e-6, "atol": 1e-3, "dense_output": True}
    up = solve_ivp(rates, (0, burn), (0.0, 0.0), args=(True,), **options)
    coast = solve_ivp(rates, (burn, burn + 2000), up.y[:, -1], args=(False,), events=still, **options)
    seen = [forces(t, *up.sol(t), True) for t in np.linspace(0, burn, 60)]
    seen += [forces(t, *coast.sol(t), False) for t in np.linspace(burn, burn + 20, 20)]
    lift = cap * sea_level / ((dry + full * load) * gravity)
    peak = max(abs(felt) for felt, _ in seen) / gravity
    flown[load, cap] = lift, peak, max(q for _, q in seen), coast.y[0, -1]
    return flown[load, cap]


def solve():
    global flights
    flights = 0
    flown.clear()
    limits = [
        lambda x: fly(*x)[0] / 2 - 1,
        lambda x: 1 - fly(*x)[1] / 6,
        lambda x: 1 - fly(*x)[2] / 70e3,
        lambda x: fly(*x)[3] / 100e3 - 1,
        lambda x: 1 - fly(*x)[3] / 110e3,
    ]
    return minimize(
        lambda x: x[0],
        (0.65, 0.65),
        method="SLSQP",
        bounds=((0.3, 1), (0.3, 1)),
        constraints=[{"type": "ineq", "fun": limit} for limit in limits],
        options={"ftol": 1e-6},
    )


for _ in sys.stdin:
    before = time.perf_counter()
    found = solve()
    print(f"{1000 * (time.perf_counter() - before):.3f} {flights} {found.x[0]:.6f} {found.x[1]:.6f}", flush=True)
