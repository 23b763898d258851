"""Runs parallel.cir with ngspice and writes parallel.json:  python3 values.py

Made with ngspice 39 (Debian package ngspice 39.3). Times in s, V and A at them.
"""
import json
import re
import subprocess

out = subprocess.run(["ngspice", "-b", "parallel.cir"], capture_output=True, text=True).stdout
times = [0.05, 10, 100, 299, 310, 600, 1199, 1210, 1500]
values = [float(x) for x in re.findall(r"^(?:v|ia|ib) = (\S+)$", out, re.M)]
assert len(values) == 3 * len(times), out
rows = [dict(t=t, v=values[3 * i], a=values[3 * i + 1], b=values[3 * i + 2]) for i, t in enumerate(times)]
json.dump(dict(made_with="ngspice 39", rows=rows), open("parallel.json", "w"), indent=1)
