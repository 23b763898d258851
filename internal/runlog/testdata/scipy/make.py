"""Makes reference.json: values that the Go tests of this package compare with. Run: python3 make.py > reference.json"""
import json
import numpy
import scipy
from scipy import integrate, optimize, stats

rng = numpy.random.default_rng(20260412)
out = {"scipy": scipy.__version__, "numpy": numpy.__version__}

# Trapezoid on uneven times: a current and a voltage without edges.
t = numpy.cumsum(rng.uniform(0.2, 1.8, 400))
i = 6 + 2 * numpy.sin(t / 37) + 0.3 * numpy.cos(t / 11)
v = 25.6 - 0.004 * t + 0.05 * numpy.cos(t / 23)
out["trapezoid"] = {
    "t": t.tolist(), "i": i.tolist(), "v": v.tolist(),
    "ampere_hours": float(integrate.trapezoid(i, t) / 3600),
    "watt_hours": float(integrate.trapezoid(i * v, t) / 3600),
}

# Magnitude exceeded in a part of the samples: numpy's inverted_cdf quantile.
x = rng.gamma(2.0, 3.0, 1017)
out["percentile"] = {"x": x.tolist(), "q": {str(p): float(numpy.percentile(x, p, method="inverted_cdf")) for p in (5, 50, 90, 95, 99)}}

# Student's t interval of a mean.
cases = []
for n in (2, 3, 5, 12):
    y = rng.normal(5.2, 0.1, n)
    low, high = stats.t.interval(0.95, n - 1, loc=y.mean(), scale=stats.sem(y))
    cases.append({"y": y.tolist(), "low": float(low), "high": float(high), "sd": float(y.std(ddof=1))})
out["student"] = cases

# The relaxation A - B exp(-t/tau) with noise, by curve_fit.
x = numpy.linspace(0, 240, 121)
y = 23.9 - 1.35 * numpy.exp(-x / 41.0) + rng.normal(0, 0.006, x.size)
p, cov = optimize.curve_fit(lambda t, a, b, tau: a - b * numpy.exp(-t / tau), x, y, p0=(24, 1, 30))
out["relaxation"] = {"x": x.tolist(), "y": y.tolist(), "p": p.tolist(), "sd": numpy.sqrt(numpy.diag(cov)).tolist()}

json.dump(out, __import__("sys").stdout, indent=1)
print()
