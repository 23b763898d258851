package circuit_test

import (
	"math"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// A pack, a fuse, a controller and two motors, each with leads of its own. By
// hand, with r the resistance of a metre: 0.3 m to the fuse, 2 mΩ in it, 0.2 m on
// and 0.5 m back before the controller; 0.4 m there and back to the first motor
// and 1 m to the second. Each motor has half of the current, so that the way
// behind the controller is (0.8·r + 2·r)/4.
func TestWay(t *testing.T) {
	at := func(part, name string) circuit.Terminal { return circuit.Terminal{Part: part, Name: name} }
	lead := func(from, to circuit.Terminal, metres quantity.Metres) circuit.Lead {
		return circuit.Lead{From: from, To: to, Size: circuit.Metric(4), Class: circuit.Flexible, Ambient: 30, Length: metres}
	}
	c := circuit.Circuit{
		Parts: []circuit.Part{{Name: "pack", Kind: circuit.Pack, Nominal: 24, Resistance: 0.03}, {Name: "fuse", Kind: circuit.Fuse, Resistance: 0.002},
			{Name: "controller", Kind: circuit.Controller, Efficiency: 0.9}, {Name: "bar+", Kind: circuit.TerminalBlock, Ways: 4}, {Name: "bar-", Kind: circuit.TerminalBlock, Ways: 4},
			{Name: "front", Kind: circuit.Motor, Resistance: 0.3}, {Name: "rear", Kind: circuit.Motor, Resistance: 0.3},
			{Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 20}},
		Leads: []circuit.Lead{
			lead(at("pack", "+"), at("fuse", "in"), 0.3), lead(at("fuse", "out"), at("controller", "in+"), 0.2), lead(at("pack", "-"), at("controller", "in-"), 0.5),
			lead(at("controller", "out+"), at("bar+", "1"), 0), lead(at("controller", "out-"), at("bar-", "1"), 0),
			lead(at("bar+", "2"), at("front", "+"), 0.4), lead(at("bar-", "2"), at("front", "-"), 0.4),
			lead(at("bar+", "3"), at("rear", "+"), 1), lead(at("bar-", "3"), at("rear", "-"), 1),
			lead(at("fuse", "out"), at("lamp", "1"), 1), lead(at("lamp", "2"), at("pack", "-"), 1),
		},
	}
	way, err := c.Way(nil)
	if err != nil {
		t.Fatal(err)
	}
	sol, err := c.Solve(circuit.OperatingPoint{Name: "any"})
	if err != nil {
		t.Fatal(err)
	}
	r := float64(sol.Leads[7].Resistance) // of one metre, held against IEC 60228 elsewhere
	if want := r + 0.002; math.Abs(float64(way.Supply)/want-1) > 1e-9 {
		t.Errorf("supply %g, want %g", float64(way.Supply), want)
	}
	if want := 2.8 * r / 4; math.Abs(float64(way.Motors)/want-1) > 1e-9 {
		t.Errorf("motors %g, want %g", float64(way.Motors), want)
	}
	if len(way.Left) != 2 { // those without a length
		t.Errorf("left out: %v", way.Left)
	}
	shorted := c
	shorted.Parts = append(shorted.Parts[:len(c.Parts):len(c.Parts)], circuit.Part{Name: "diode", Kind: circuit.Diode, Volts: 0.7})
	shorted.Leads = append(shorted.Leads[:len(c.Leads):len(c.Leads)], lead(at("fuse", "out"), at("diode", "anode"), 0.1), lead(at("diode", "cathode"), at("pack", "-"), 0.1))
	if way, err := shorted.Way(nil); err == nil {
		t.Errorf("a way with a short in it: %+v", way)
	}
	c.Parts = c.Parts[:1]
	if _, err := c.Way(nil); err == nil {
		t.Error("a way without a motor")
	}
}
