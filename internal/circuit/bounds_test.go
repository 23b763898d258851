package circuit_test

import (
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// What is not stated can only make it worse, or a bound decides: then the verdict is that it does not hold, and not
// that it cannot be judged. Each case has its twin, in which the missing value is still needed.
func TestBoundsDecide(t *testing.T) {
	pack := func(full, nominal quantity.Volts) circuit.Part {
		return circuit.Part{Name: "pack", Kind: circuit.Pack, Nominal: nominal, Full: full, Resistance: 0.02, Takes: 9}
	}
	build := func(p circuit.Part, f circuit.Part, first, second quantity.Metres, size circuit.Size, insulation quantity.Celsius) *circuit.Circuit {
		f.Name, f.Takes = "fuse", 2
		c := &circuit.Circuit{Parts: []circuit.Part{p, {Name: "bar", Kind: circuit.TerminalBlock}, f, {Name: "switch", Kind: circuit.Switch, Ratings: circuit.Ratings{Volts: 20, AC: true}}, {Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 240}}}
		for _, l := range []struct {
			from, to string
			length   quantity.Metres
		}{{"pack:+", "bar:1", first}, {"bar:2", "fuse:in", second}, {"fuse:out", "switch:in", 1}, {"switch:out", "lamp:1", 1}, {"lamp:2", "pack:-", 1}} {
			a, _ := circuit.ParseTerminal(l.from)
			b, _ := circuit.ParseTerminal(l.to)
			c.Leads = append(c.Leads, circuit.Lead{From: a, To: b, Length: l.length, Size: size, Insulation: insulation})
		}
		return c
	}
	fuse := func(amps quantity.Amperes, volts quantity.Volts) circuit.Part {
		return circuit.Part{Kind: circuit.Fuse, Ratings: circuit.Ratings{Current: amps, Volts: volts}}
	}
	wide := circuit.Metric(10)
	for _, c := range []struct {
		what    string
		circuit *circuit.Circuit
		rule    circuit.Rule
		decided bool
	}{
		{"a fuse far away, one lead not measured", build(pack(29, 24), fuse(20, 58), 0.9, 0, wide, 105), circuit.FusePlacement, true},
		{"a fuse that may be near, one lead not measured", build(pack(29, 24), fuse(20, 58), 0.1, 0, wide, 105), circuit.FusePlacement, false},
		{"a fuse for less than the nominal voltage, the full one not stated", build(pack(0, 24), fuse(20, 16), 0.1, 0.05, wide, 105), circuit.FuseVolts, true},
		{"a fuse for just more than the nominal voltage, the full one not stated", build(pack(0, 24), fuse(20, 25), 0.1, 0.05, wide, 105), circuit.FuseVolts, false},
		{"a switch for 20 V of alternating voltage", build(pack(29, 24), fuse(20, 58), 0.1, 0.05, wide, 105), circuit.PartVolts, true},
		{"the same at 12 V", build(pack(14, 12), fuse(20, 58), 0.1, 0.05, wide, 105), circuit.PartVolts, false},
		{"24 AWG behind a fuse of 40 A, its insulation not stated", build(pack(29, 24), fuse(40, 58), 0.1, 0.05, circuit.Gauge(24), 0), circuit.FuseSavesLead, true},
		{"24 AWG behind a fuse of 40 A", build(pack(29, 24), fuse(40, 58), 0.1, 0.05, circuit.Gauge(24), 105), circuit.FuseSavesLead, true},
		{"10 mm² behind a fuse of 40 A, its insulation not stated", build(pack(29, 24), fuse(40, 58), 0.1, 0.05, wide, 0), circuit.FuseSavesLead, false},
		{"24 AWG with 10 A in it, its insulation not stated", build(pack(29, 24), fuse(20, 58), 0.1, 0.05, circuit.Gauge(24), 0), circuit.LeadAmpacity, true},
		{"10 mm² with 10 A in it, its insulation not stated", build(pack(29, 24), fuse(20, 58), 0.1, 0.05, wide, 0), circuit.LeadAmpacity, false},
		{"a lamp of 24 V on 60 V, the full voltage not stated", build(pack(0, 60), fuse(20, 80), 0.1, 0.05, wide, 105), circuit.LoadVoltsHigh, true},
		{"a lamp of 24 V on 24 V, the full voltage not stated", build(pack(0, 24), fuse(20, 58), 0.1, 0.05, wide, 105), circuit.LoadVoltsHigh, false},
	} {
		s, err := c.circuit.Solve(circuit.OperatingPoint{Name: "cruise", Kind: circuit.Cruise})
		if err != nil {
			t.Fatalf("%s: %v", c.what, err)
		}
		found, judged := false, false
		for _, v := range c.circuit.Judge([]*circuit.Solution{s}) {
			if v.Rule == c.rule {
				found = true
				judged = judged || v.CannotJudge == "" && !v.OK
			}
		}
		if !found || judged != c.decided {
			t.Errorf("%s: said that it does not hold: %v, want %v", c.what, judged, c.decided)
		}
	}
}
