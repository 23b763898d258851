"""Steady points of invented vehicles, solved by ngspice as circuits.

Run where ngspice is (version 39 made the values):  python3 values.py > points.json
The electrical side is a circuit as it stands. The mechanical side is one too:
the voltage of node w is the speed of the motor shafts in rad/s, currents into it
are torques in N·m. Each motor is written out for itself, so that nothing of the
program's own reduction to one group at the rim is repeated here. Only points at
which the motors pull are in here: the torques have their signs for that.
"""
import json
import subprocess

CASES = []
for n, (duty, grade, rest, motors, wagon, area) in enumerate([
    (1.0, 0.0, 26.0, (1, 1), 0.0, 0.0), (0.6, 0.0, 26.0, (2, 1), 180.0, 0.7), (0.35, 0.02, 25.2, (2, 1), 180.0, 0.7), (0.9, 0.05, 24.0, (2, 1), 260.0, 0.9),
    (1.0, -0.01, 25.0, (2, 1), 90.0, 0.7), (0.8, 0.03, 36.0, (1, 2), 120.0, 0.5), (0.5, 0.01, 48.0, (2, 2), 400.0, 1.2), (1.0, 0.08, 26.4, (3, 1), 300.0, 1.0),
    (0.25, 0.0, 12.6, (1, 1), 0.0, 0.4), (0.7, 0.0, 26.0, (2, 1), 0.0, 8.0),
]):
    CASES.append(dict(
        k=0.083 - 0.003 * n, r=0.21 + 0.02 * n, friction=0.13 - 0.01 * n, parallel=motors[0], series=motors[1], ratio=9.8 + 0.7 * n,
        gear=0.85 + 0.01 * n, wheel=0.13 + 0.02 * n, mass=64.0 + 3 * n, payload=85.0, wagon=wagon, area=area, rest=rest, resistance=0.04 + 0.005 * n,
        duty=duty, eta=0.95, own=0.1, rolling=0.012 + 0.001 * n, grade=grade))


def netlist(c):
    g = 9.80665
    radius = c["wheel"] / 2 / c["ratio"]  # metres of way to a radian of the shaft
    mass = c["mass"] + c["payload"] + c["wagon"]
    slope = (1 + c["grade"] ** 2) ** 0.5
    steady = mass * g * (c["rolling"] + c["grade"]) / slope
    air = 1.225 / 2 * c["area"]
    lines = ["a vehicle at its steady speed", f"vrest rest 0 {c['rest']!r}", f"rb rest bat {c['resistance']!r}",
             f"bown bat 0 i={c['own']!r}", "bdraw bat 0 i=" + f"{c['duty']!r}*i(vgroup)/{c['eta']!r}", f"bmot mot 0 v={c['duty']!r}*v(bat)", "vgroup mot top 0"]
    torque = []
    for p in range(c["parallel"]):
        node = "top"
        for s in range(c["series"]):
            name, end = f"{p}_{s}", "0" if s == c["series"] - 1 else f"n{p}_{s}"
            lines += [f"vi{name} {node} a{name} 0", f"r{name} a{name} b{name} {c['r']!r}", f"b{name} b{name} {end} v={c['k']!r}*v(w)",
                      f"bt{name} 0 w i={c['k']!r}*i(vi{name})-{c['friction']!r}"]
            node = end
    lines += [f"bload w 0 i=({steady!r}+{air!r}*(v(w)*{radius!r})^2)*{radius!r}/{c['gear']!r}",
              ".options reltol=1e-12 abstol=1e-15 vntol=1e-15 gmin=1e-18 itl1=500", ".nodeset v(w)=100", ".control", "op", "set numdgt=15",
              "print v(w) v(bat) i(vrest) i(vi0_0)", ".endc", ".end"]
    return radius, "\n".join(lines) + "\n"


points = []
for c in CASES:
    radius, text = netlist(c)
    out = subprocess.run(["ngspice", "-b"], input=text, capture_output=True, text=True).stdout
    found = {}
    for line in out.splitlines():
        if line.count(" = ") == 1 and line.split("(")[0] in ("v", "i"):
            name, value = line.split(" = ")
            found[name.strip()] = float(value)
    points.append(dict(given=c, speed=found["v(w)"] * radius, bat=found["v(bat)"], drawn=-found["i(vrest)"], motor=found["i(vi0_0)"]))
print(json.dumps(points, indent=1))
