#!/usr/bin/env python3
"""The reference rig once more, for SciPy. Equations: components.hpp. Numbers: parameters.csv (argument 1).

Prints a CSV of time, charge temperature and manifold pressure over the whole pull: Radau at rtol 1e-10.
With a second argument RTOL it prints instead the processor time in seconds of one pull by BDF at that tolerance.
Exit code 77: SciPy is missing.
"""
import csv
import math
import sys
import time

try:
    import numpy as np
    from scipy.integrate import solve_ivp
except ImportError:
    sys.exit(77)

with open(sys.argv[1], newline="") as file:
    P = {row["name"]: float(row["value"]) for row in csv.DictReader(file)}
R, cp, w, fw = P["R"], P["cp"], P["width"], P["flow_width"]
cv, p0, T0 = cp - R, P["ambient_pressure"], P["ambient_temperature"]
volumes = P["duct_volume"], P["lid_volume"], P["manifold_volume"]


def step(t):
    s = min(max(t / P["opening_time"], 0.0), 1.0)
    return s**3 * (10 + s * (-15 + 6 * s))


def loss(p1, rho1, p2, rho2, area):
    dp = p1 - p2
    return area * math.sqrt(0.5 * (rho1 + rho2)) * dp / (dp * dp + w * w) ** 0.25


def upwind(m, a, b):
    return 0.5 * (m * (a + b) + m * m / math.sqrt(m * m + fw * fw) * (a - b))


def rates(t, x):
    md, Ud, ml, Ul, mm, Um, w1, w2, core, reservoir, omega, sensor = x.tolist()
    Td, Tl, Tm = Ud / (md * cv), Ul / (ml * cv), Um / (mm * cv)
    rd, rl, rm = md / volumes[0], ml / volumes[1], mm / volumes[2]
    pd, pl, pm = rd * R * Td, rl * R * Tl, rm * R * Tm
    gate = step(t)

    area = math.sqrt(2) * (P["leak_area"] + (P["open_area"] - P["leak_area"]) * gate)
    m1 = loss(p0, p0 / (R * T0), pd, rd, area)
    H1 = upwind(m1, cp * T0, cp * Td)

    PR = pl / pd
    m2 = (P["ve0"] - P["ve1"] * (PR - 1)) * rd * P["blower_displacement"] * P["blower_ratio"] * omega / (2 * math.pi)
    work = m2 * cp * Td * (PR ** (R / cp) - 1) / P["eta"]

    m3 = loss(pl, rl, pm, rm, P["cooler_flow"])
    H3 = upwind(m3, cp * Tl, cp * Tm)
    C = cp * math.sqrt(m3 * m3 + fw * fw)
    share = 1 - math.exp(-P["air_conductance"] / C)
    Q1 = C * (Tl - w1) * share
    Q2 = C * (Tl - Q1 / C - w2) * share
    out1, out2 = P["coolant_conductance"] * (w1 - core), P["coolant_conductance"] * (w2 - core)

    per_radian = P["engine_ve"] * rm * P["engine_displacement"] / (4 * math.pi)
    m4 = per_radian * omega
    exchange = P["coolant_flow"] * (core - reservoir)
    torque = P["air_work"] * per_radian - work / omega - P["drag"] * omega**2
    return [
        m1 - m2, H1 - m2 * cp * Td,
        m2 - m3, m2 * cp * Td + work - H3,
        m3 - m4, H3 - Q1 - Q2 - m4 * cp * Tm,
        (Q1 - out1) / P["wall_capacity"], (Q2 - out2) / P["wall_capacity"],
        (out1 + out2 - exchange) / P["core_capacity"],
        (exchange - P["front_conductance"] * (reservoir - T0)) / P["reservoir_capacity"],
        gate * torque / P["inertia"],
        (Tm - sensor) / P["sensor_lag"],
    ]


start = []
for V in volumes:
    mass = p0 * V / (R * T0)
    start += [mass, mass * cv * T0]
start += [T0] * 4 + [P["start_speed"], T0]
nominal = np.array([1e-3, 100] * 3 + [300] * 4 + [100, 300])
report = np.linspace(0, P["duration"], int(P["points"]) + 1)


def pull(method, rtol):
    result = solve_ivp(rates, (0, P["duration"]), start, method, report, rtol=rtol, atol=rtol * nominal)
    assert result.success, result.message
    return result.y


if len(sys.argv) > 2:
    begin = time.process_time()
    pull("BDF", float(sys.argv[2]))
    print(time.process_time() - begin)
else:
    y = pull("Radau", 1e-10)
    print("time,charge_temperature,manifold_pressure")
    for t, mass, energy in zip(report, y[4], y[5]):
        print(f"{t:.17g},{energy / (mass * cv):.17g},{energy * R / (cv * volumes[2]):.17g}")
