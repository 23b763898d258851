"""Writes overturn.csv: the speed at which two bodies on one frame begin to tip in a level curve.

python3 make.py, with SciPy 1.10.1. Nothing of the program's formula is used: the moments of each body's weight and
outward push about the outer rail are added up, and the speed at which they come to nothing is found by bisection.
The last two rows are exercises with printed answers, from physicsforums.com, thread 174374 (14.58 m/s, with
g 9.81 m/s²), and jiskha.com, display 1291314123 (an SUV: only the relation is given there).
"""
import csv
from scipy.optimize import brentq

G = 9.80665

def tips(radius, width, bodies):
    def moment(v):
        return sum(m * G * width / 2 - m * v * v / radius * h for m, h in bodies)
    return brentq(moment, 1e-6, 1000, xtol=1e-13, rtol=1e-14)

rows = [
    (6.0, 0.127, 58, 0.21, 80, 0.62), (6.0, 0.127, 58, 0.21, 0, 0.62), (13.0, 0.184, 91, 0.25, 470, 0.55),
    (2.5, 0.089, 20, 0.12, 75, 0.45), (30.0, 0.381, 300, 0.4, 150, 0.9), (1.8, 0.6, 54, 0.3, 95, 0.7),
    (20.0, 1.3, 900, 0.6, 0, 0.6), (20.0, 1.8, 1500, 1.0, 0, 1.0),
]
with open("overturn.csv", "w", newline="") as f:
    w = csv.writer(f, lineterminator="\n")
    w.writerow(["radius m", "track width m", "mass 1 kg", "height 1 m", "mass 2 kg", "height 2 m", "speed m/s"])
    for r, b, m1, h1, m2, h2 in rows:
        w.writerow([r, b, m1, h1, m2, h2, f"{tips(r, b, [(m1, h1), (m2, h2)]):.9g}"])
