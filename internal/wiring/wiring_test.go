package wiring

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

func at(text string) circuit.Terminal { t, _ := circuit.ParseTerminal(text); return t }

// run is a pack of 24 V behind 20 mΩ that feeds a motor through parts in its positive lead: every lead of one length and size.
func run(length quantity.Metres, size circuit.Size, between ...circuit.Part) circuit.Circuit {
	c := circuit.Circuit{Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack, Nominal: 24, Volts: 25.6, Full: 29.2, Resistance: 0.02}}}
	from := at("pack:+")
	lead := func(to circuit.Terminal) {
		c.Leads = append(c.Leads, circuit.Lead{From: from, To: to, Size: size, Length: length, Insulation: 105, Ambient: 20})
	}
	for _, p := range between {
		lead(circuit.Terminal{Part: p.Name, Name: p.Terminals()[0].Name})
		from = circuit.Terminal{Part: p.Name, Name: p.Terminals()[1].Name}
		c.Parts = append(c.Parts, p)
	}
	c.Parts = append(c.Parts, circuit.Part{Name: "motor", Kind: circuit.Motor, Resistance: 0.2})
	lead(at("motor:+"))
	from = at("motor:-")
	lead(at("pack:-"))
	return c
}

// drawing is a point at which the motor's current is known.
func drawing(name string, amps quantity.Amperes) circuit.OperatingPoint {
	return circuit.OperatingPoint{Name: name, Kind: circuit.Cruise, Parts: map[string]circuit.State{"motor": {Draws: amps}}}
}

func close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6g, want %.6g", what, got, want)
	}
}

// What the leads lose and what reaches the motor: 30 A through 3 m there and 3 m back. The resistances are the greatest of IEC 60228, class 5, at
// 20 °C: 7.98, 4.95 and 3.30 Ω/km; the drops are the worked examples of the reference, vd-24V-2.5, vd-24V-4 and vd-24V-6, and 13.3 Ω/km and 5 m
// there of 1.5 mm² are reckoned in the same way. At 70 °C copper has (234.5 + 70)/254.5 times as much.
func TestVoltageDropsByTheBook(t *testing.T) {
	for _, x := range []struct {
		size    quantity.SquareMillimetres
		length  quantity.Metres
		ambient quantity.Celsius
		amps    float64
		perKm   float64
		drop    float64
	}{{2.5, 3, 20, 30, 7.98, 1.4364}, {4, 3, 20, 30, 4.95, 0.891}, {6, 3, 20, 30, 3.3, 0.594}, {1.5, 5, 20, 6, 13.3, 0.798}, {4, 3, 70, 30, 5.9225, 1.06606}} {
		c := run(x.length, circuit.Metric(x.size))
		for i := range c.Leads {
			c.Leads[i].Ambient = x.ambient
		}
		w := Compute(&c, []circuit.OperatingPoint{drawing("cruise", quantity.Amperes(x.amps))})
		if w.Circuit != &c || len(w.Faults) > 0 || len(w.Unsolved) > 0 || len(w.Solutions) != 1 {
			t.Fatalf("%v mm²: %+v", x.size, w)
		}
		s, what := w.Solutions[0], fmt.Sprintf("%v mm² at %v °C", float64(x.size), float64(x.ambient))
		var drop, heat float64
		for _, l := range s.Leads {
			drop, heat = drop+float64(l.Drop), heat+float64(l.Heat)
			close(t, what+", one lead", float64(l.Resistance), x.perKm*float64(x.length)/1000, 1e-6)
		}
		close(t, what+", drop", drop, x.drop, 1e-4)
		close(t, what+", heat", heat, x.drop*x.amps, 1e-4*x.amps) // P = U·I
		terminals := 25.6 - 0.02*x.amps
		close(t, what+", at the pack", float64(s.Packs[0].Volts), terminals, 1e-9)
		close(t, what+", at the motor", float64(s.Loads[0].Volts), terminals-x.drop, 1e-4)
		close(t, what+", power", float64(s.Supplied), 25.6*x.amps, 1e-6)
		close(t, what+", balance", float64(s.Taken), float64(s.Supplied), 1e-6)
	}
}

// Two lamps side by side, 48 Ω and 24 Ω at 24 V: their currents are in the ratio of their conductances and add up in the way that they share (Kirchhoff).
func TestLampsSideBySide(t *testing.T) {
	size := circuit.Metric(2.5)
	c := circuit.Circuit{
		Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack, Nominal: 24, Volts: 24, Full: 29.2, Resistance: 0.02}, {Name: "head", Kind: circuit.Lamp, Nominal: 24, Power: 24}, {Name: "tail", Kind: circuit.Lamp, Nominal: 24, Power: 12}},
		Leads: []circuit.Lead{
			{From: at("pack:+"), To: at("head:1"), Size: size, Length: 1, Insulation: 90}, {From: at("head:2"), To: at("pack:-"), Size: size, Length: 1, Insulation: 90},
			{From: at("head:1"), To: at("tail:1"), Size: size, Length: 1, Insulation: 90}, {From: at("tail:2"), To: at("head:2"), Size: size, Length: 1, Insulation: 90},
		},
	}
	w := Compute(&c, []circuit.OperatingPoint{{Name: "lit", Kind: circuit.Cruise}})
	if len(w.Solutions) != 1 {
		t.Fatalf("%+v", w)
	}
	const lead = 0.00798
	tail := 48 + 2*lead
	both := 1 / (1./24 + 1/tail)
	amps := 24 / (0.02 + 2*lead + both)
	s := w.Solutions[0]
	close(t, "of the pack", float64(s.Packs[0].Current), amps, 1e-9)
	close(t, "to the tail", float64(s.Leads[2].Current), amps*both/tail, 1e-9)
	close(t, "to the head", float64(s.Leads[0].Current-s.Leads[2].Current), amps*both/24, 1e-9)
}

// A circuit with a fault in it is another one than was meant: nothing of it is solved or judged, and what has to be cut is told all the same.
func TestFaultsLeaveTheCutList(t *testing.T) {
	c := run(3, circuit.Metric(4))
	c.Leads = append(c.Leads, circuit.Lead{From: at("pack:+"), To: at("nowhere:x"), Size: circuit.Metric(4), Length: 0.5, Insulation: 105})
	w := Compute(&c, []circuit.OperatingPoint{drawing("cruise", 30)})
	if len(w.Faults) == 0 || w.Solutions != nil || w.Unsolved != nil || w.Verdicts != nil || w.Live != nil {
		t.Errorf("%+v", w)
	}
	if len(w.Whips) != 3 || len(w.Totals) != 1 || w.Totals[0].Pieces != 3 {
		t.Fatalf("%+v, %+v", w.Whips, w.Totals)
	}
	close(t, "cut", float64(w.Totals[0].Length), 6.5, 1e-12)
	close(t, "a tenth more", float64(w.Totals[0].With), 7.15, 1e-12)
}

// A point that has no solution is told with its reason, as a sentence; the others are solved, in their order.
func TestPointsWithoutASolution(t *testing.T) {
	c := run(3, circuit.Metric(4))
	spoilt := circuit.OperatingPoint{Name: "of a part that is none", Parts: map[string]circuit.State{"none": {}}}
	w := Compute(&c, []circuit.OperatingPoint{drawing("slow", 10), spoilt, drawing("fast", 30)})
	if len(w.Solutions) != 2 || w.Solutions[0].Point.Name != "slow" || w.Solutions[1].Point.Name != "fast" {
		t.Fatalf("%+v", w.Solutions)
	}
	if len(w.Unsolved) != 1 || w.Unsolved[0].Point != spoilt.Name || !strings.HasPrefix(w.Unsolved[0].Reason, "The operating point") || !strings.HasSuffix(w.Unsolved[0].Reason, ".") {
		t.Errorf("%+v", w.Unsolved)
	}
	// What is solved is judged.
	if len(w.Verdicts) == 0 {
		t.Error("nothing is judged")
	}
	if none := Compute(&c, nil); none.Solutions != nil || len(none.Faults) > 0 || len(none.Whips) != 2 {
		t.Errorf("%+v", none)
	}
}

// What makes the circuit dead: cutouts and emergency stops where there are any, in the order of the parts; else its switches; of nothing else.
func TestWhatMakesItDead(t *testing.T) {
	cutout := circuit.Part{Name: "cutout", Kind: circuit.Cutout}
	stop := circuit.Part{Name: "stop", Kind: circuit.EmergencyStop}
	key := circuit.Part{Name: "key", Kind: circuit.Switch}
	fuse := circuit.Part{Name: "fuse", Kind: circuit.Fuse, FuseKind: "blade", Ratings: circuit.Ratings{Current: 40}}
	relay := circuit.Part{Name: "relay", Kind: circuit.Relay}
	for _, x := range []struct {
		parts []circuit.Part
		want  string
	}{{nil, ""}, {[]circuit.Part{fuse, relay}, ""}, {[]circuit.Part{fuse, key}, "key"}, {[]circuit.Part{key, stop}, "stop"}, {[]circuit.Part{stop, key}, "stop"}, {[]circuit.Part{key, {Name: "second", Kind: circuit.Switch}}, "key second"}} {
		c := run(1, circuit.Metric(6), x.parts...)
		var got []string
		for _, i := range openers(&c) {
			got = append(got, c.Parts[i].Name)
		}
		if strings.Join(got, " ") != x.want {
			t.Errorf("%v: %v, want %s", x.parts, got, x.want)
		}
		w := Compute(&c, []circuit.OperatingPoint{drawing("cruise", 10)})
		if len(w.Faults) > 0 || len(w.Live) != len(got) {
			t.Fatalf("%s: %+v, %+v", x.want, w.Faults, w.Live)
		}
		for k, l := range w.Live {
			if c.Parts[l.Opened].Name != got[k] {
				t.Errorf("%s: %+v", x.want, l)
			}
		}
	}
	both := circuit.Circuit{Parts: []circuit.Part{key, stop, cutout}}
	if got := openers(&both); len(got) != 2 || got[0] != 1 || got[1] != 2 {
		t.Errorf("%v", got)
	}
	// Opened, the stop leaves live what is before it, and no more: the lead to it.
	c := run(1, circuit.Metric(6), stop)
	w := Compute(&c, []circuit.OperatingPoint{drawing("cruise", 10)})
	if l := w.Live[0]; len(l.Leads) != 1 || l.Leads[0] != 0 || len(l.Fed) != 0 || l.Bypass != nil {
		t.Errorf("%+v", l)
	}
	// A lead past it leaves everything live, and the way past is named.
	c.Leads = append(c.Leads, circuit.Lead{From: at("pack:+"), To: at("motor:+"), Size: circuit.Metric(6), Length: 1, Insulation: 105})
	w = Compute(&c, []circuit.OperatingPoint{drawing("cruise", 10)})
	if l := w.Live[0]; len(l.Fed) != 1 || c.Parts[l.Fed[0]].Name != "motor" || l.Bypass == nil {
		t.Errorf("%+v", l)
	}
}
