"""Writes welch.csv and student.csv, the values that the tests of this package are held against.

python3 make.py, with SciPy 1.10.1 and NumPy; the samples are drawn once from a seeded generator and printed with
six significant figures, and the statistics are computed from the printed values.
"""
import numpy as np
from scipy import stats

rng = np.random.default_rng(20261125)

def printed(x):
    return [float(f"{v:.6g}") for v in x]

cases = [
    # R's data set `sleep` (Student 1908; Cushny and Peebles 1905), increase in hours of sleep.
    ([0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0], [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]),
    ([1.0, 2.0], [4.0, 9.0]),
    ([5.0, 5.0, 5.0], [5.1, 5.3]),
]
for n, m, mean, sa, sb in [(2, 2, 1.0, 0.1, 0.3), (3, 7, 46.0, 0.9, 4.0), (12, 4, 9285.0, 30.0, 2.0), (40, 35, 1e-3, 1e-5, 2e-5), (6, 6, -2.0, 1.0, 1.0)]:
    cases.append((printed(rng.normal(mean, sa, n)), printed(rng.normal(mean * 1.01, sb, m))))

with open("welch.csv", "w") as f:
    f.write("# SciPy 1.10.1: stats.ttest_ind(b, a, equal_var=False), its degrees of freedom by Welch-Satterthwaite, stats.t.ppf(0.975, dof)*se\n")
    f.write("a,b,t,dof,p,half_width_95\n")
    for a, b in cases:
        r = stats.ttest_ind(b, a, equal_var=False)
        va, vb = np.var(a, ddof=1) / len(a), np.var(b, ddof=1) / len(b)
        dof = (va + vb) ** 2 / (va**2 / (len(a) - 1) + vb**2 / (len(b) - 1))
        half = stats.t.ppf(0.975, dof) * np.sqrt(va + vb)
        f.write(f"{' '.join(map(repr, a))},{' '.join(map(repr, b))},{float(r.statistic)!r},{float(dof)!r},{float(r.pvalue)!r},{float(half)!r}\n")

with open("student.csv", "w") as f:
    f.write("# SciPy 1.10.1: stats.t.ppf(0.5 + confidence/2, dof); inf: stats.norm.ppf\n")
    f.write("confidence,dof,t\n")
    for c in (0.6827, 0.9, 0.95, 0.99):
        for dof in (1, 1.5, 2, 4.7, 16, 50, 1000, float("inf")):
            t = stats.norm.ppf(0.5 + c / 2) if dof == float("inf") else stats.t.ppf(0.5 + c / 2, dof)
            f.write(f"{c},{dof},{float(t)!r}\n")
