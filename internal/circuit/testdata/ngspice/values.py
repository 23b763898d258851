"""Writes a netlist for every worked circuit and point, runs ngspice on it, and
records the values:  python3 values.py

Made with ngspice 39 (Debian package ngspice 39.3). The netlists are made here
from the JSON of the circuits, by rules written down a second time: resistance of
leads by gauge or IEC 60228 class 5, ways of blocks as one node, controllers as
a voltage-controlled and a current-controlled source, converters as a voltage and a
current that is reckoned from the power, tapped packs cell by cell, half-speed and
reversing switches way by way. Which diodes and suppressors conduct is found
by trying every combination, which controllers hold their limit, and whether their
motor brakes, by trying both.
"""
import csv
import glob
import itertools
import json
import math
import os
import re
import subprocess

here = os.path.dirname(os.path.abspath(__file__))
circuits = os.path.join(here, "..", "..", "circuittest", "testdata", "circuits")
iec = {float(r["mm2"]): float(r["class5"]) for r in csv.DictReader(open(os.path.join(here, "..", "..", "tables", "iec60228.csv"), encoding="utf-8"))}


def lead_ohms(lead):
    value, unit = lead["size"].split(" ")
    if unit == "AWG":
        d = 0.127 * 92 ** ((36 - int(value)) / 39)
        per_km = 1000 / 58 / (math.pi / 4 * d * d)
    else:
        per_km = iec[float(value)]
    return per_km / 1000 * lead["length"] * (234.5 + lead.get("ambient", 20)) / 254.5


class Netlist:
    def __init__(self, circuit, point, diodes, limited, charger, drawn, brakes, starved=()):
        self.lines, self.names = [], []  # element lines; (label, expression)
        self.parts = {p["name"]: p for p in circuit["parts"]}
        self.state = point.get("parts", {})
        self.kind = point["kind"]
        self.seen = set()
        self.starved = starved
        for i, lead in enumerate(circuit["leads"]):
            self.resistor(f"lead {i}", self.node(lead["from"]), self.node(lead["to"]), lead_ohms(lead))
        for p in circuit["parts"]:
            self.part(p, diodes, limited, charger, drawn, brakes)
        for n in sorted(self.seen):
            if n != "0":
                self.lines.append(f"Rleak_{n} {n} 0 1e15")

    def node(self, terminal):
        part, name = terminal.split(":")
        if self.parts[part]["kind"] == "terminal-block":
            name = "all"
        first = next(p["name"] for p in self.parts.values() if p["kind"] == "pack")
        n = "0" if (part, name) == (first, "-") else re.sub(r"[^a-z0-9]", "_", part) + "_" + name.replace("+", "p").replace("-", "n")
        self.seen.add(n)
        return n

    def sense(self, label, a, volts=0.0):
        """A source from a to a new node whose current, a to it, is the label's."""
        k = len(self.names)
        middle = f"m{k}"
        self.lines.append(f"Vs{k} {a} {middle} DC {volts!r}")
        self.names.append((label, f"i(vs{k})"))
        self.seen.add(middle)
        return middle, f"Vs{k}"

    def resistor(self, label, a, b, ohms, volts=0.0):
        middle, _ = self.sense(label, a, volts)
        k = len(self.names)
        if ohms > 0:
            self.lines.append(f"R{k} {middle} {b} {ohms!r}")
        else:
            self.lines.append(f"Vz{k} {middle} {b} DC 0")

    def part(self, p, diodes, limited, charger, drawn, brakes):
        name, kind, s = p["name"], p["kind"], self.state.get(p["name"], {})
        at = lambda t: self.node(f"{name}:{t}")
        ohms = p.get("ohms", 0)
        opened = s.get("position") == "open" or kind == "cutout" and self.kind == "cutout open" or kind == "emergency-stop" and self.kind == "emergency stop"
        if kind == "pack" and p.get("cells"):
            cells = p["cells"]
            ends = ["-", *map(str, range(1, cells)), "+"]
            volts = s.get("volts") or p.get("volts") or p["nominal"]
            for k in range(cells):
                self.resistor(f"{name} cell {k + 1}", at(ends[k]), at(ends[k + 1]), ohms / cells, -volts / cells)
        elif kind == "pack":
            self.resistor(f"{name} cells", at("-"), at("+"), ohms, -(s.get("volts") or p.get("volts") or p["nominal"]))
        elif kind in ("fuse", "breaker", "shunt"):
            self.resistor(f"{name} in to out", at("in"), at("out"), ohms)
        elif kind == "cutout":
            if not opened:
                self.resistor(f"{name} positive", at("in+"), at("out+"), ohms)
            self.resistor(f"{name} negative", at("in-"), at("out-"), 0)
        elif kind in ("switch", "contactor", "relay", "emergency-stop", "connector"):
            poles = p.get("poles", 1)
            for n in range(poles):
                pole = f"-{n + 1}" if poles > 1 else ""
                if p.get("throws", 1) == 2:
                    way = "b" if s.get("position") == "other" else "a"
                    out = f"out{pole or '-'}{way}"
                else:
                    out = f"out{pole}"
                if not opened:
                    self.resistor(f"{name} in{pole} to {out}", at(f"in{pole}"), at(out), ohms)
            if p.get("coil"):
                self.resistor(f"{name} coil", at("coil+"), at("coil-"), p["coil"])
        elif kind == "reversing-switch":
            ways = [("in+", "out-"), ("in-", "out+")] if s.get("position") == "other" else [("in+", "out+"), ("in-", "out-")]
            for a, b in [] if opened else ways:
                self.resistor(f"{name} {a} to {b}", at(a), at(b), ohms)
        elif kind == "half-speed-switch":
            series = [("a-", "b+")] if s.get("position") == "other" else [("b+", "+"), ("a-", "-")]
            for a, b in [] if opened else [("a+", "+"), ("b-", "-"), *series]:
                self.resistor(f"{name} {a} to {b}", at(a), at(b), ohms)
        elif kind == "throttle":
            at_now = s.get("duty", 0)
            self.resistor(f"{name} track to +", at("+"), at("wiper"), ohms * (1 - at_now))
            self.resistor(f"{name} track to -", at("wiper"), at("-"), ohms * at_now)
        elif kind == "suppressor":
            if diodes[name]:
                self.resistor(f"{name} junction", at("anode"), at("cathode"), ohms, p["clamps"] if p.get("both-ways") else p.get("volts", 0))
            if diodes[name + " clamp"]:
                self.resistor(f"{name} clamp", at("cathode"), at("anode"), ohms, p["clamps"])
        elif kind == "converter":
            if not p.get("isolated"):
                self.resistor(f"{name} common", at("in-"), at("out-"), 0)
            if s.get("off") or name in self.starved:
                return
            k = len(self.names)
            out, outn, inp, inn = at("out+"), at("out-"), at("in+"), at("in-")
            self.resistor(f"{name} output", outn, out, ohms, -p["nominal"])
            a, _ = self.sense(f"{name} input", inp)
            if p.get("isolated"):
                self.lines.append(f"Rt{k} {outn} 0 1")  # nothing else says where its output stands
            self.lines.append(f"Bk{k} {a} {inn} I={p.get('idle', 0)!r}+V({out},{outn})*I(Vs{k})/({p.get('efficiency', 1)!r}*max(V({inp},{inn}),0.5))")
            self.lines.append(f".nodeset v({inp})={p['nominal'] * 2!r}")
        elif kind == "motor":
            if s.get("draws"):
                if drawn == "probe":
                    self.resistor(f"{name} winding", at("+"), at("-"), max(ohms, 1))
                elif drawn == "on":
                    m, _ = self.sense(f"{name} winding", at("+"))
                    self.lines.append(f"I{len(self.names)} {m} {at('-')} DC {s['draws']!r}")
            else:
                self.resistor(f"{name} winding", at("+"), at("-"), ohms, s.get("emf", 0))
        elif kind == "diode":
            if diodes[name]:
                self.resistor(f"{name} junction", at("anode"), at("cathode"), ohms, p["volts"])
        elif kind in ("resistor", "precharge-resistor", "brake-resistor", "lamp", "horn"):
            self.resistor(f"{name} load", at("1"), at("2"), ohms or p["nominal"] ** 2 / p["watts"])
        elif kind in ("charger-socket", "charger") and s.get("current"):
            if charger == "volts":
                self.resistor(f"{name} charger", at("-"), at("+"), 0, -s["volts"])
            else:
                m, _ = self.sense(f"{name} charger", at("-"))
                self.lines.append(f"I{len(self.names)} {m} {at('+')} DC {s['current']!r}")
        elif kind == "speed-controller":
            common = ("in+", "out+") if p.get("common-positive") else ("in-", "out-")
            self.resistor(f"{name} common", at(common[0]), at(common[1]), 0)
            if p.get("reference"):
                self.resistor(f"{name} return", at("in-"), at("throttle-"), 0)
                self.resistor(f"{name} reference", at("throttle-"), at("throttle+"), 0, -p["reference"])
                if p.get("pull-down"):
                    self.resistor(f"{name} pull-down", at("throttle"), at("throttle-"), p["pull-down"])
            if s.get("off"):
                return
            d, eta = s.get("duty") or 1.0, p.get("efficiency", 1)
            k = len(self.names)
            inp, inn, outp, outn = at("in+"), at("in-"), at("out+"), at("out-")
            m, _ = self.sense(f"{name} output", outn)
            if name in limited:
                i = math.copysign(s["limit"], d)
                self.lines.append(f"Ic{k} {m} {outp} DC {i!r}")
                a, _ = self.sense(f"{name} input", inp)
                self.lines.append(f"Bc{k} {a} {inn} I={i!r}/{eta!r}*(V({outp},{outn})+{ohms * i!r})/max(V({inp},{inn}),0.5)")
                self.lines.append(f".nodeset v({inp})=24 v({inn})=0")
            else:
                self.seen.update({f"c{k}"})
                self.lines.append(f"Ec{k} c{k} {m} {inp} {inn} {d!r}")
                self.lines.append(f"Rc{k} c{k} {outp} {ohms!r}" if ohms else f"Vc{k} c{k} {outp} DC 0")
                a, _ = self.sense(f"{name} input", inp)
                self.lines.append(f"Fc{k} {a} {inn} Vs{k} {d * eta if name in brakes else d / eta!r}")

    def solve(self, title):
        shown = list(self.names) + [(f"V {n}", f"v({n})") for n in sorted(self.seen) if n != "0" and not re.fullmatch(r"[mc]\d+", n)]
        # The last digits of a current that is reckoned from a power never stand still.
        sharp = "reltol=1e-11 abstol=1e-13 vntol=1e-13" if any(line.startswith("Bk") for line in self.lines) else "reltol=1e-13 abstol=1e-18 vntol=1e-16"
        text = "\n".join([f"* {title}", *self.lines, f".options {sharp} gmin=1e-18 pivtol=1e-30 pivrel=1e-3 itl1=500",
                          ".control", "set numdgt=16", "op", *[f"print {e}" for _, e in shown], ".endc", ".end", ""])
        path = os.path.join(here, "run.cir")
        open(path, "w").write(text)
        out = subprocess.run(["ngspice", "-b", path], capture_output=True, text=True)
        os.remove(path)
        found = dict(re.findall(r"^(\S+) = (\S+)$", out.stdout, re.M))
        values = {label: float(found[e]) for label, e in shown}
        return text, values


def consistent(circuit, point, values, diodes, limited, charger, brakes, starved):
    for p in circuit["parts"]:
        name, s = p["name"], point.get("parts", {}).get(p["name"], {})
        v = lambda t: values.get("V " + re.sub(r"[^a-z0-9]", "_", name) + "_" + t.replace("+", "p").replace("-", "n"), 0.0)
        if p["kind"] == "diode":
            if diodes[name] and values[f"{name} junction"] < -1e-9 or not diodes[name] and v("anode") - v("cathode") > p["volts"] + 1e-9:
                return False
        if p["kind"] == "suppressor":
            forward = p["clamps"] if p.get("both-ways") else p.get("volts", 0)
            for way, label, drop, across in (("", "junction", forward, v("anode") - v("cathode")), (" clamp", "clamp", p["clamps"], v("cathode") - v("anode"))):
                if diodes[name + way] and values[f"{name} {label}"] < -1e-9 or not diodes[name + way] and across > drop + 1e-9:
                    return False
        if p["kind"] == "converter" and not s.get("off"):
            low = v("in+") - v("in-") < p.get("window", [0])[0]
            if low != (name in starved):
                return False
        if p["kind"] == "speed-controller" and not s.get("off") and name not in limited:
            power = s.get("duty", 1) * values[f"{name} output"] * (v("in+") - v("in-"))
            if (power < -1e-9) if name not in brakes else (power > -1e-9):
                return False
        if p["kind"] == "speed-controller" and s.get("limit"):
            if name not in limited and abs(values[f"{name} output"]) > s["limit"] * (1 + 1e-9):
                return False
            if name in limited:
                i = math.copysign(s["limit"], s.get("duty", 1))
                d = (v("out+") - v("out-") + p.get("ohms", 0) * i) / (v("in+") - v("in-"))
                if abs(d) > abs(s.get("duty", 1)) * (1 + 1e-9) or v("in+") - v("in-") < 1:
                    return False
        if p["kind"] in ("charger-socket", "charger") and s.get("current"):
            if charger == "volts" and values[f"{name} charger"] > s["current"] * (1 + 1e-9):
                return False
            if charger == "amps" and v("+") - v("-") > s["volts"] * (1 + 1e-9):
                return False
    return True


def settle(circuit, point, title):
    diodes = [p["name"] for p in circuit["parts"] if p["kind"] == "diode"]
    for p in circuit["parts"]:
        if p["kind"] == "suppressor":
            diodes += [p["name"], p["name"] + " clamp"]
    converters = [p["name"] for p in circuit["parts"] if p["kind"] == "converter"]
    limits = [n for n, s in point.get("parts", {}).items() if s.get("limit")]
    controllers = [p["name"] for p in circuit["parts"] if p["kind"] == "speed-controller"]
    drawn = [n for n, s in point.get("parts", {}).items() if s.get("draws")]
    found = []
    for on in itertools.product([False, True], repeat=len(diodes)):
        for k in range(len(limits) + 1):
            for limited in itertools.combinations(limits, k):
                for charger in ("volts", "amps") if point["kind"] == "charging" else ("volts",):
                    state = dict(zip(diodes, on))
                    for brakes, starved in itertools.product(([], controllers), ([], converters) if converters else ([],)):
                        n = Netlist(circuit, point, state, limited, charger, "on" if drawn else "", brakes, starved)
                        try:
                            text, values = n.solve(title)
                        except (KeyError, ValueError):
                            continue
                        if consistent(circuit, point, values, state, limited, charger, brakes, starved):
                            found.append((text, values))
    assert found, title
    for text, values in found[1:]:  # more than one state agrees only where they are the same
        for label, v in values.items():
            if not label.startswith("V ") and label in found[0][1]:
                assert abs(v - found[0][1][label]) < 1e-6, (title, label)
    return found[0]


values = {}
for path in sorted(glob.glob(os.path.join(circuits, "*.json"))):
    circuit = json.load(open(path, encoding="utf-8"))
    name = os.path.basename(path)[:-5]
    for k, point in enumerate(circuit["points"]):
        text, found = settle(circuit, point, f"{name}, {point['name']}")
        open(os.path.join(here, f"{name}-{k}.cir"), "w").write(text)
        values[f"{name}/{point['name']}"] = found
json.dump(dict(made_with="ngspice 39", points=values), open(os.path.join(here, "values.json"), "w"), indent=1)
