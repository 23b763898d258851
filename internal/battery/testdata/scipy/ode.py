"""Reference solutions of the cell's equations, by scipy's solve_ivp at tight tolerance.

Run with Python 3 and scipy (1.10.1 made the values):  python3 ode.py > ode.json
The equations are those in the comment of Cell in cell.go, written out again
here without looking at how the program steps. The open-circuit curve is scipy's
PchipInterpolator (Fritsch and Butland) through the points below.
"""
import json
import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

R, K = 8.31446261815324, 273.15
CELL = dict(
    soc=[0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0],
    ocv=[2.7, 3.16, 3.30, 3.47, 3.57, 3.64, 3.71, 3.81, 3.92, 4.01, 4.09, 4.19],
    capacity=5.0, ohmic=[0.03, 0.022, 0.02, 0.021, 0.024],
    fast=[0.02, 0.01, 0.008, 0.009, 0.011], fast_time=12.0,
    slow=[0.06, 0.02, 0.012, 0.012, 0.014], slow_time=180.0, lag=120.0, reference=25.0,
    e_ohmic=5000.0, e_branch=26000.0, e_lag=24000.0,
    entropic=[-0.0003, 0.0001, -0.0001, 0.0002], heat_capacity=70.0, conductance=0.12,
)
SETTLING = 15 / 20.1907
ocv = PchipInterpolator(CELL["soc"], CELL["ocv"])


def profile(name, z):
    y = CELL[name]
    return np.interp(z, np.linspace(0, 1, len(y)), y)


def arrhenius(e, t):
    return np.exp(e / R * (1 / (t + K) - 1 / (CELL["reference"] + K)))


def behind(y):
    z, d, v1, v2, t = y
    return ocv(z - d) - v1 - v2, profile("ohmic", z) * arrhenius(CELL["e_ohmic"], t)


def drawn(load, y):
    kind, x = load
    e, r = behind(y)
    if kind == "current":
        return x
    if kind == "power":
        return (e - np.sqrt(e * e - 4 * r * x)) / (2 * r)
    return e / (r + x)  # resistance


def slope(load, ambient):
    def f(_, y):
        z, d, v1, v2, t = y
        i = drawn(load, y)
        e, r0 = behind(y)
        a1, a2 = arrhenius(CELL["e_branch"], t), arrhenius(CELL["e_lag"], t)
        r1, r2 = profile("fast", z) * a1, profile("slow", z) * a2
        lag = CELL["lag"] * a2
        rate = i / (3600 * CELL["capacity"])
        heat = i * i * r0 + v1 * v1 / r1 + v2 * v2 / r2 + i * (ocv(z) - ocv(z - d)) - i * (t + K) * profile("entropic", z)
        return [-rate, (lag * rate - d) / (SETTLING * lag), (r1 * i - v1) / (CELL["fast_time"] * a1),
                (r2 * i - v2) / (CELL["slow_time"] * a2), (heat - CELL["conductance"] * (t - ambient)) / CELL["heat_capacity"]]
    return f


def run(parts, ambient, start, cutoff):
    """Integrate part by part; kinks of the profiles are met by small steps."""
    y, t0, rows = [start, 0, 0, 0, ambient], 0.0, []
    for load, length in parts:
        def level(_, y, load=load):
            e, r = behind(y)
            return e - r * drawn(load, y) - cutoff
        level.terminal, level.direction = True, -1
        s = solve_ivp(slope(load, ambient), (0, length), y, method="DOP853", rtol=1e-12, atol=1e-13, events=level, max_step=2.0)
        y, t0 = list(s.y[:, -1]), t0 + s.t[-1]
        e, r = behind(y)
        i = drawn(load, y)
        rows.append(dict(t=t0, volts=float(e - r * i), amps=float(i), charge=y[0], celsius=y[4]))
        if len(s.t_events[0]):
            break
    return rows


cases = []
for name, parts, ambient, start, cutoff in [
    ("constant current 1C", [(("current", 5.0), 600), (("current", 5.0), 1e4)], 25, 1.0, 2.9),
    ("constant current 2C, cold", [(("current", 10.0), 300), (("current", 10.0), 1e4)], 5, 0.95, 3.0),
    ("constant power", [(("power", 15.0), 900), (("power", 15.0), 2e4)], 25, 0.9, 3.1),
    ("constant resistance", [(("resistance", 0.7), 900), (("resistance", 0.7), 2e4)], 15, 0.9, 3.1),
    ("duty", [(("current", 6.0), 60), (("current", 0.0), 40), (("power", 30.0), 50), (("current", 0.0), 200), (("resistance", 1.0), 100), (("current", -2.0), 300)], 20, 0.6, 2.5),
]:
    cases.append(dict(name=name, parts=[dict(kind=k, value=v, seconds=s) for (k, v), s in parts], ambient=ambient, start=start, cutoff=cutoff, rows=run(parts, ambient, start, cutoff)))
z = np.linspace(0, 1, 41)
print(json.dumps(dict(made_with="scipy " + scipy.__version__ + " solve_ivp DOP853, rtol 1e-12", cell=CELL, curve=dict(soc=list(z), volts=[float(v) for v in ocv(z)]), cases=cases), indent=1))
