package circuit_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/quantity"
)

func judge(t testing.TB, x circuittest.Example) []circuit.Verdict {
	t.Helper()
	var solved []*circuit.Solution
	for _, op := range x.Points {
		s, err := x.Circuit.Solve(op)
		if err != nil {
			t.Fatalf("%s: %v", op.Name, err)
		}
		solved = append(solved, s)
	}
	return x.Circuit.Judge(solved)
}

// about names what a verdict concerns: a part, or a lead's first end.
func about(c *circuit.Circuit, v circuit.Verdict) string {
	if v.Subject.Part >= 0 {
		return c.Parts[v.Subject.Part].Name
	}
	return "from " + c.Leads[v.Subject.Lead].From.String()
}

// The sound circuits: whatever was judged of the plain shunter holds, and what was
// not judged is what its spec leaves out.
func TestSoundShunter(t *testing.T) {
	x := example(t, "05-shunter-stop")
	rules := map[circuit.Rule]int{}
	for _, v := range judge(t, x) {
		rules[v.Rule]++
		if !v.OK || v.CannotJudge != "" {
			t.Errorf("%s, %s: %s %s", v.Rule, about(&x.Circuit, v), v.CannotJudge, v.Detail)
		}
		if v.Source == "" || v.Status == "" {
			t.Errorf("%s, %s: no source or status", v.Rule, about(&x.Circuit, v))
		}
	}
	for _, rule := range []circuit.Rule{circuit.LeadAmpacity, circuit.FuseMissing, circuit.FusePlacement, circuit.FuseCarriesLoad, circuit.FuseSavesLead, circuit.FuseInterrupts, circuit.FuseVolts, circuit.FuseHolds,
		circuit.LiveWhenOpen, circuit.BypassWhenOpen, circuit.ShortCircuit, circuit.EndFitsTerminal, circuit.WireFitsClamp, circuit.WireFitsFerrule, circuit.LastingCurrent, circuit.PeakCurrent, circuit.ContactDirect, circuit.PartVolts, circuit.PositiveColour} {
		if rules[rule] == 0 {
			t.Errorf("%s was not looked at", rule)
		}
	}
}

const (
	fails  = "fails"
	cannot = "cannot judge"
)

// Each rule made to fail, and to lack what it needs, by one change to the sound
// shunter. number and limit are by the rule's own source, worked out by hand; NaN:
// not checked.
func TestVerdicts(t *testing.T) {
	nan := math.NaN()
	lamp := func(c *circuit.Circuit, from, to string) {
		c.Parts = append(c.Parts, circuit.Part{Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 5, Takes: 1})
		c.Leads = append(c.Leads, simple(from, "lamp:1"), simple("lamp:2", to))
	}
	for _, tt := range []struct {
		name          string
		change        func(x *circuittest.Example)
		rule          circuit.Rule
		about, result string
		number, limit float64
		words         string // in the detail or the reason
	}{
		{"a lead too thin", func(x *circuittest.Example) {
			leadFrom(&x.Circuit, "controller:out+").Size = circuit.Gauge(18)
			hard(x)
		},
			circuit.LeadAmpacity, "from controller:out+", fails, nan, 20, ""},
		{"insulation not stated", func(x *circuittest.Example) { leadFrom(&x.Circuit, "controller:out+").Insulation = 0 },
			circuit.LeadAmpacity, "from controller:out+", cannot, nan, nan, "insulation"},
		{"no lasting point", func(x *circuittest.Example) { x.Points = x.Points[1:2] },
			circuit.LeadAmpacity, "from controller:out+", cannot, nan, nan, "no operating point that lasts"},

		{"a stall does not last", func(x *circuittest.Example) { stall(x, 1, 0); x.Points = x.Points[len(x.Points)-1:] },
			circuit.LeadAmpacity, "from controller:out+", cannot, nan, nan, "no operating point that lasts"},

		{"no fuse", func(x *circuittest.Example) {
			leadFrom(&x.Circuit, "battery:+").To = terminal("stop:in")
			x.Circuit.Leads = slices.Delete(x.Circuit.Leads, 1, 2)
		},
			circuit.FuseMissing, "battery", fails, nan, nan, "controller"},
		{"a branch without a fuse", func(x *circuittest.Example) { lamp(&x.Circuit, "battery:+", "battery:-") },
			circuit.FuseMissing, "battery", fails, nan, nan, "lamp"},
		{"a fuse too far off", func(x *circuittest.Example) { leadFrom(&x.Circuit, "battery:+").Length = 0.3 },
			circuit.FusePlacement, "fuse", fails, 0.3, 0.178, ""},
		{"the same in a sheath", func(x *circuittest.Example) {
			l := leadFrom(&x.Circuit, "battery:+")
			l.Length, l.Sheathed = 1.1, true
		}, circuit.FusePlacement, "fuse", fails, 1.1, 1.016, "sources disagree"},
		{"a fuse behind a lead of no length", func(x *circuittest.Example) { leadFrom(&x.Circuit, "battery:+").Length = 0 },
			circuit.FusePlacement, "fuse", cannot, nan, nan, "length"},
		{"a fuse below the load", func(x *circuittest.Example) { part(&x.Circuit, "fuse").Current = 5 },
			circuit.FuseCarriesLoad, "fuse", fails, 5, nan, "125 %"},
		{"a fuse without a rating", func(x *circuittest.Example) { part(&x.Circuit, "fuse").Current = 0 },
			circuit.FuseCarriesLoad, "fuse", cannot, nan, nan, "rating"},
		{"a fuse above 150 % of the lead", func(x *circuittest.Example) {
			leadFrom(&x.Circuit, "stop:out").Size = circuit.Gauge(20 - 2)
			part(&x.Circuit, "fuse").Current = 35
		},
			circuit.FuseSavesLead, "from stop:out", fails, 35, 30, "150 %"},
		{"from 50 V the ampacity itself", func(x *circuittest.Example) { high(x); leadFrom(&x.Circuit, "stop:out").Size = circuit.Gauge(16) },
			circuit.FuseSavesLead, "from stop:out", fails, 30, 25, "limit is the ampacity"},
		{"a thin lead on the other way of a changeover", func(x *circuittest.Example) {
			c := &x.Circuit
			*part(c, "stop") = circuit.Part{Name: "stop", Kind: circuit.Switch, Throws: 2, Resistance: 0.001}
			leadFrom(c, "stop:out").From.Name = "out-a"
			c.Parts = append(c.Parts, circuit.Part{Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 5})
			c.Leads = append(c.Leads, simple("stop:out-b", "lamp:1"), simple("lamp:2", "battery:-"))
			leadFrom(c, "stop:out-b").Size = circuit.Gauge(18)
			part(c, "fuse").Current = 35
		}, circuit.FuseSavesLead, "from stop:out-b", fails, 35, 30, ""},
		{"a block that hands on more than it may", func(x *circuittest.Example) {
			c := &x.Circuit
			c.Parts = append(c.Parts, circuit.Part{Name: "joint", Kind: circuit.TerminalBlock, Ratings: circuit.Ratings{Current: 0.0009}}, circuit.Part{Name: "lamp", Kind: circuit.Lamp, Resistance: 25000})
			// One lead towards the block and one away from it, both written so that the current is negative in one.
			c.Leads = append(c.Leads, simple("joint:1", "cutout:out+"), simple("lamp:1", "joint:2"), simple("lamp:2", "cutout:out-"))
		}, circuit.LastingCurrent, "joint", fails, 0.00100393, 0.0009, ""},
		{"a fault that it cannot interrupt", func(x *circuittest.Example) { part(&x.Circuit, "battery").Resistance = 0.02 },
			circuit.FuseInterrupts, "fuse", fails, 29 / (0.02 + 0.15*0.00495 + 0.0021), 1000, ""},
		{"a pack of unknown resistance", func(x *circuittest.Example) { part(&x.Circuit, "battery").Resistance = 0 },
			circuit.FuseInterrupts, "fuse", cannot, nan, nan, "resistance of battery"},
		{"a fuse of no kind", func(x *circuittest.Example) { part(&x.Circuit, "fuse").FuseKind = "" },
			circuit.FuseInterrupts, "fuse", cannot, nan, nan, "breaking capacity"},
		{"a blade fuse at 58 V", high, circuit.FuseVolts, "fuse", fails, 58, 32, ""},
		{"no voltage at the end of charge", func(x *circuittest.Example) { part(&x.Circuit, "battery").Full = 0 },
			circuit.FuseVolts, "fuse", cannot, nan, nan, "end of charge"},
		// 21.8 A for 45 s: 2.18 times 10 A; a 10 A blade fuse holds 0.15 s at 200 % and
		// nothing is given above.
		{"a fuse that opens on the gradient", func(x *circuittest.Example) { part(&x.Circuit, "fuse").Current = 15 },
			circuit.FuseHolds, "fuse", fails, 45, 0.25, "times its rating"},
		{"times not given", func(x *circuittest.Example) { part(&x.Circuit, "fuse").Current = 10 },
			circuit.FuseHolds, "fuse", cannot, nan, nan, "2.18 times"},
		{"a fuse that never opens at a stall", func(x *circuittest.Example) { stall(x, 0.2, 5); part(&x.Circuit, "fuse").Current = 40 },
			circuit.FuseOpensAtStall, "fuse", fails, 5, nan, "does not open"},
		{"a fuse that opens too late at a stall", func(x *circuittest.Example) {
			stall(x, 1, 5)
			part(&x.Circuit, "fuse").Current = 60
			part(&x.Circuit, "fuse").FuseKind = "large-blade"
		},
			circuit.FuseOpensAtStall, "fuse", fails, 5, 1800, ""},
		{"a stall without a time", func(x *circuittest.Example) { stall(x, 1, 0) },
			circuit.FuseOpensAtStall, "fuse", cannot, nan, nan, "how long the motor stands"},
		// 20.3 A at the stall: a 10 A blade fuse opens within 5 s at 200 % (ATOF 287 data sheet).
		{"a fuse of the motor's own that opens in time", func(x *circuittest.Example) { motorFuse(x) },
			circuit.FuseOpensAtStall, "motor fuse", "holds", 6, 5, ""},
		{"then the one at the pack need not", func(x *circuittest.Example) { motorFuse(x) },
			circuit.FuseOpensAtStall, "fuse", "holds", 6, nan, "before it opens motor fuse"},
		{"a fuse in one motor's lead saves no other", func(x *circuittest.Example) {
			motorFuse(x)
			x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "other", Kind: circuit.Motor, Resistance: 0.4})
			x.Circuit.Leads = append(x.Circuit.Leads, simple("motor fuse:in", "other:+"), simple("other:-", "motor:-"))
		}, circuit.FuseOpensAtStall, "fuse", fails, 6, nan, "does not open"},

		// 16 AWG is 1.3087 mm², 18 AWG 0.82305 mm²: ASTM B258, d = 0.127 mm × 92^((36−n)/39).
		{"a lead thinner than 16 AWG", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").Size = circuit.Metric(1) },
			circuit.ConductorSize, "from stop:out", fails, 1, 1.3086957, ""},
		{"the same in a sheath", func(x *circuittest.Example) {
			leadFrom(&x.Circuit, "stop:out").Size, leadFrom(&x.Circuit, "stop:out").Sheathed = circuit.Metric(1), true
		}, circuit.ConductorSize, "from stop:out", "holds", 1, 0.8230468, "sheathed"},
		{"thinner than 18 AWG in a sheath", func(x *circuittest.Example) {
			leadFrom(&x.Circuit, "stop:out").Size, leadFrom(&x.Circuit, "stop:out").Sheathed = circuit.Metric(0.75), true
		}, circuit.ConductorSize, "from stop:out", fails, 0.75, 0.8230468, ""},
		{"a single wire", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").Class = circuit.Solid },
			circuit.ConductorSize, "from stop:out", fails, nan, nan, "single wire"},
		{"a lead of no size", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").Size = circuit.Size{} },
			circuit.ConductorSize, "from stop:out", cannot, nan, nan, "size"},

		{"a charger socket on the pack", func(x *circuittest.Example) { socket(x, "fuse:out", false) },
			circuit.SocketLive, "socket", fails, nan, nan, "both pins"},
		{"a touch-proof one", func(x *circuittest.Example) { socket(x, "fuse:out", true) },
			circuit.SocketLive, "socket", "holds", nan, nan, "touch-proof"},
		{"one behind a diode", func(x *circuittest.Example) {
			x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "gate", Kind: circuit.Diode, Volts: 0.5, Resistance: 0.01})
			x.Circuit.Leads = append(x.Circuit.Leads, simple("gate:cathode", "fuse:out"))
			socket(x, "gate:anode", false)
		}, circuit.SocketLive, "socket", "holds", nan, nan, ""},
		{"one behind a changeover that stands the other way", func(x *circuittest.Example) {
			x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "over", Kind: circuit.Switch, Throws: 2}, circuit.Part{Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 5})
			x.Circuit.Leads = append(x.Circuit.Leads, simple("fuse:out", "over:in"), simple("over:out-a", "lamp:1"), simple("lamp:2", "battery:-"))
			socket(x, "over:out-b", false)
		}, circuit.SocketLive, "socket", "holds", nan, nan, "otherwise than usual"},

		{"a breaker's times, above its rating", func(x *circuittest.Example) {
			part(&x.Circuit, "fuse").Kind, part(&x.Circuit, "fuse").Current = circuit.Breaker, 20
		}, circuit.FuseHolds, "fuse", cannot, nan, nan, "curve"},
		{"a breaker's times, within its rating", func(x *circuittest.Example) { part(&x.Circuit, "fuse").Kind = circuit.Breaker },
			circuit.FuseHolds, "fuse", "holds", nan, nan, "times its rating"},

		{"a lamp before the cutout", func(x *circuittest.Example) { lamp(&x.Circuit, "fuse:out", "battery:-") },
			circuit.LiveWhenOpen, "cutout", fails, nan, nan, "lamp"},
		{"a controller beside the stop", func(x *circuittest.Example) {
			leadFrom(&x.Circuit, "fuse:out").To = terminal("cutout:in+")
			leadFrom(&x.Circuit, "stop:out").To = terminal("battery:-")
		},
			circuit.LiveWhenOpen, "stop", fails, nan, nan, "controller, motor"},
		{"a way around the cutout", func(x *circuittest.Example) {
			x.Circuit.Leads = append(x.Circuit.Leads, simple("cutout:in+", "controller:in+"))
		},
			circuit.BypassWhenOpen, "cutout", fails, nan, nan, ""},
		{"a switch around the cutout", func(x *circuittest.Example) {
			x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "limp", Kind: circuit.Switch})
			x.Circuit.Leads = append(x.Circuit.Leads, simple("cutout:in+", "limp:in"), simple("limp:out", "cutout:out+"))
		}, circuit.BypassWhenOpen, "cutout", fails, nan, nan, ""},
		{"a second pack behind the cutout", func(x *circuittest.Example) {
			x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "spare", Kind: circuit.Pack, Volts: 25, Full: 29, Resistance: 0.05})
			x.Circuit.Leads = append(x.Circuit.Leads, simple("spare:+", "cutout:out+"), simple("spare:-", "cutout:out-"))
		}, circuit.BypassWhenOpen, "cutout", fails, nan, nan, "spare"},
		{"a switch across the pack", func(x *circuittest.Example) {
			x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "wrong", Kind: circuit.Switch, Resistance: 0.01})
			x.Circuit.Leads = append(x.Circuit.Leads, simple("fuse:out", "wrong:in"), simple("wrong:out", "battery:-"))
		}, circuit.ShortCircuit, "battery", fails, nan, nan, ""},
		{"a diode across the pack, forwards", func(x *circuittest.Example) {
			x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "wrong", Kind: circuit.Diode, Volts: 0.6, Resistance: 0.01})
			x.Circuit.Leads = append(x.Circuit.Leads, simple("controller:in+", "wrong:anode"), simple("wrong:cathode", "controller:in-"))
		}, circuit.ShortCircuit, "battery", fails, nan, nan, "diode"},

		{"a bare end in a clamp", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").EndB.Kind = circuit.Bare },
			circuit.EndFitsTerminal, "from stop:out", fails, nan, nan, "ferrule"},
		{"a tinned end in a clamp", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").EndB.Kind = circuit.Solder },
			circuit.EndFitsTerminal, "from stop:out", fails, nan, nan, "creeps"},
		{"a ferrule on a stud", func(x *circuittest.Example) { leadFrom(&x.Circuit, "battery:+").EndA.Kind = circuit.Ferrule },
			circuit.EndFitsTerminal, "from battery:+", fails, nan, nan, "ring"},
		{"an end not stated", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").EndB.Kind = "" },
			circuit.EndFitsTerminal, "from stop:out", cannot, nan, nan, "cutout:in+"},
		{"a wire too thick for its clamp", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").Size = circuit.Metric(6) },
			circuit.WireFitsClamp, "from stop:out", fails, 6, 4, "1 to 4 mm²"},
		{"a wire of unknown size in a clamp", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").Size = circuit.Size{} },
			circuit.WireFitsClamp, "from stop:out", cannot, nan, nan, "size of the lead at cutout:in+"},
		{"a clamp of unknown range", func(x *circuittest.Example) { part(&x.Circuit, "cutout").Clamp = circuit.Range{} },
			circuit.WireFitsClamp, "from stop:out", cannot, nan, nan, "sizes that cutout:in+ takes"},
		{"a wire for which there is no ferrule", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").Size = circuit.Metric(0.25) },
			circuit.WireFitsFerrule, "from stop:out", cannot, nan, nan, "no ferrule"},

		{"more than a cutout carries for good", func(x *circuittest.Example) {
			part(&x.Circuit, "cutout").Current = 4
			part(&x.Circuit, "cutout").Inductive = 4
		},
			circuit.LastingCurrent, "cutout", fails, nan, 4, ""},
		{"a controller without a rating", func(x *circuittest.Example) { part(&x.Circuit, "controller").Current = 0 },
			circuit.LastingCurrent, "controller", cannot, nan, nan, "controller stands"},
		{"more than a controller carries for a while", func(x *circuittest.Example) { part(&x.Circuit, "controller").Peak = 20 },
			circuit.PeakCurrent, "controller", fails, nan, 20, ""},
		{"a controller at the end of charge", func(x *circuittest.Example) { part(&x.Circuit, "controller").Ratings.Volts = 28 },
			circuit.PartVolts, "controller", fails, 29, 28, "full"},
		{"a stop for alternating current", func(x *circuittest.Example) { part(&x.Circuit, "stop").AC = true },
			circuit.ContactDirect, "stop", cannot, nan, nan, "says nothing about direct current"},

		{"blue among red", func(x *circuittest.Example) { leadFrom(&x.Circuit, "stop:out").Colour = "blue" },
			circuit.PositiveColour, "from stop:out", fails, nan, nan, "positive is red elsewhere, and blue here"},
		{"red for negative", func(x *circuittest.Example) { leadFrom(&x.Circuit, "battery:-").Colour = "red" },
			circuit.PositiveColour, "from battery:-", fails, nan, nan, "negative, in the colour that positive has"},
		{"a colour not stated", func(x *circuittest.Example) { leadFrom(&x.Circuit, "battery:-").Colour = "" },
			circuit.PositiveColour, "from battery:-", cannot, nan, nan, "colour"},
	} {
		x := example(t, "05-shunter-stop")
		tt.change(&x)
		var seen []circuit.Verdict
		found := false
		for _, v := range judge(t, x) {
			if v.Rule != tt.rule || about(&x.Circuit, v) != tt.about {
				continue
			}
			seen = append(seen, v)
			result := "holds"
			switch {
			case v.CannotJudge != "":
				result = cannot
			case !v.OK:
				result = fails
			}
			near := func(q quantity.Quantity, want float64) bool {
				return math.IsNaN(want) || math.Abs(q.Value-want) < 1e-6*max(1, math.Abs(want))
			}
			if result == tt.result && near(v.Number, tt.number) && near(v.Limit, tt.limit) && strings.Contains(v.CannotJudge+v.Detail, tt.words) {
				found = true
			}
		}
		if !found {
			t.Errorf("%s: no %s of %s that %s with %v against %v and %q, among %+v", tt.name, tt.rule, tt.about, tt.result, tt.number, tt.limit, tt.words, seen)
		}
	}
}

// hard loads the motor beyond what 18 AWG carries.
func hard(x *circuittest.Example) {
	x.Points[0].Parts["motor"] = circuit.State{BackEMF: 10}
}

// motorFuse stalls the motor for six seconds behind a fuse of its own, and makes
// the fuse at the pack too great to open.
func motorFuse(x *circuittest.Example) {
	stall(x, 0.2, 6)
	c := &x.Circuit
	part(c, "fuse").Current, part(c, "fuse").FuseKind = 80, "large-blade"
	c.Parts = append(c.Parts, circuit.Part{Name: "motor fuse", Kind: circuit.Fuse, FuseKind: "blade", Ratings: circuit.Ratings{Current: 10, Volts: 58, Breaking: 1000}, Resistance: 0.004})
	l := leadFrom(c, "controller:out+")
	to := l.To
	l.To = terminal("motor fuse:in")
	c.Leads = append(c.Leads, simple("motor fuse:out", to.String()))
}

// socket puts a charger socket between a terminal and the negative of the pack.
func socket(x *circuittest.Example, plus string, touchProof bool) {
	x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "socket", Kind: circuit.ChargerSocket, TouchProof: touchProof})
	x.Circuit.Leads = append(x.Circuit.Leads, simple("socket:+", plus), simple("socket:-", "battery:-"))
}

// high makes it a vehicle of 52 V.
func high(x *circuittest.Example) {
	p := part(&x.Circuit, "battery")
	p.Nominal, p.Volts, p.Full = 52, 51, 58
}

func stall(x *circuittest.Example, duty quantity.Fraction, lasts quantity.Seconds) {
	x.Points = append(x.Points, circuit.OperatingPoint{Name: "blocked", Kind: circuit.Stall, Lasts: lasts, Parts: map[string]circuit.State{"controller": {Duty: duty}}})
}

// A contact before a motor needs a rating for motors; one before a lamp does not.
// Oracle: the data sheet of a basic switch, contact-dc-rating.csv: 10 A at 125 V of
// alternating current, 6 A at 30 V of direct current, 5 A of a motor's (2.5 A by its
// normally open contact).
func TestContactRatings(t *testing.T) {
	row := map[string]string{}
	for _, r := range reference(t, "contact-dc-rating") {
		if r["device"] == "basic switch" && r["kind"] == "DC" && r["volts"] == "30" {
			row = r
		}
	}
	if row["resistive_A"] != "6" || row["motor_NC_A"] != "5" || row["motor_NO_A"] != "2.5" {
		t.Fatalf("the row reads %v", row)
	}
	x := example(t, "01-barrow-switch")
	s := part(&x.Circuit, "switch")
	s.Ratings = circuit.Ratings{Current: 10, Resistive: 6, Inductive: 2.5, Volts: 30}
	find := func() circuit.Verdict {
		for _, v := range judge(t, x) {
			if v.Rule == circuit.ContactDirect {
				return v
			}
		}
		t.Fatal("no verdict")
		return circuit.Verdict{}
	}
	if v := find(); v.OK || v.Limit.Value != 2.5 {
		t.Errorf("before a motor: OK %v, limit %v A, want 2.5", v.OK, v.Limit.Value)
	}
	s.Inductive = 0
	if v := find(); v.OK || v.CannotJudge != "" || v.Limit.Value != 6 {
		t.Errorf("before a motor, without a rating for motors and above that for lamps: %+v", v)
	}
	s.Resistive, s.Current = 600, 600
	if v := find(); v.CannotJudge == "" {
		t.Error("before a motor, without a rating for motors, it is judged")
	}
	s.Resistive, s.Current = 6, 10
	x.Circuit.Parts[2] = circuit.Part{Name: "motor", Kind: circuit.Lamp, Nominal: 24, Power: 96}
	x.Circuit.Leads[1].To.Name, x.Circuit.Leads[2].From.Name = "1", "2"
	if v := find(); !v.OK || v.Limit.Value != 6 {
		t.Errorf("before a lamp of 4 A: OK %v, limit %v A, want 6", v.OK, v.Limit.Value)
	}
}

// A link of 20 mΩ across the pack is a short, a lamp of 1 Ω is a load.
func TestLowResistanceIsAShort(t *testing.T) {
	for _, tt := range []struct {
		ohms  quantity.Ohms
		short bool
	}{{0.02, true}, {1, false}, {330, false}} {
		x := example(t, "05-shunter-stop")
		x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: "link", Kind: circuit.Resistor, Resistance: tt.ohms})
		x.Circuit.Leads = append(x.Circuit.Leads, simple("fuse:out", "link:1"), simple("link:2", "battery:-"))
		shorts, err := x.Circuit.Shorts()
		if err != nil || (len(shorts) > 0) != tt.short {
			t.Errorf("%v Ω: %+v, %v", tt.ohms, shorts, err)
		}
	}
}

// Packs of which one is charged lower are not opposed; packs of unlike numbers of
// cells are.
func TestUnlikePacks(t *testing.T) {
	for _, tt := range []struct {
		volts   quantity.Volts
		opposed bool
	}{{25, false}, {21.5, false}, {18, true}, {38, true}} {
		x := example(t, "06-two-packs")
		part(&x.Circuit, "rear").Volts = tt.volts
		found := false
		for _, f := range x.Circuit.Check() {
			found = found || f.Rule == "packs-opposed"
		}
		if found != tt.opposed {
			t.Errorf("%v V beside 25.5 V: opposed %v, want %v", tt.volts, found, tt.opposed)
		}
	}
}

// Where packs are in parallel, a fuse also saves the lead to its own pack from the
// others; and a diode on the way to a fuse is not the end of it.
func TestFusesOfTwoPacks(t *testing.T) {
	x := example(t, "06-two-packs")
	var saved []string
	for _, v := range judge(t, x) {
		if v.Rule == circuit.FuseSavesLead && slices.Contains(v.Parts, 2) { // front-fuse
			saved = append(saved, about(&x.Circuit, v))
		}
	}
	if got := strings.Join(saved, ", "); got != "from front:+, from front-fuse:out, from rear-fuse:out, from plus:3, from cutout:out+" {
		t.Errorf("the front fuse saves the leads %s", got)
	}
	c := &x.Circuit
	c.Parts = append(c.Parts, circuit.Part{Name: "diode", Kind: circuit.Diode, Volts: 0.4, Resistance: 0.01})
	l := leadFrom(c, "front:+")
	l.Length, l.To = 0.05, terminal("diode:anode")
	next := simple("diode:cathode", "front-fuse:in")
	next.Length = 0.06
	c.Leads = append(c.Leads, next)
	seen := 0
	for _, v := range judge(t, x) {
		switch {
		case v.Rule == circuit.FuseMissing && !v.OK:
			t.Errorf("%s: %s", about(c, v), v.Detail)
		case v.Rule == circuit.FusePlacement && about(c, v) == "front-fuse":
			seen++
			if math.Abs(v.Number.Value-0.11) > 1e-12 {
				t.Errorf("%v m to the front fuse, want 0.11", v.Number.Value)
			}
		}
	}
	if seen != 1 {
		t.Errorf("%d verdicts on where the front fuse is", seen)
	}
}
