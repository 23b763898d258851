package journal

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/circuit"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/ride"
)

// A pack whose resistance nobody stated has that of its chemistry in the wiring,
// or what its runs taught; a short is computed with the least that it may be.
func TestPackWithoutResistance(t *testing.T) {
	v := fixture(t, "1-sound")
	stated := v.Packs[0].Resistance
	if !stated.Known() {
		t.Fatal("the fixture states no resistance")
	}
	v.Packs[0].Resistance = notes.Value[quantity.Ohms]{}
	pack := func(c *circuit.Circuit) circuit.Part {
		for _, p := range c.Parts {
			if p.Kind == circuit.Pack {
				return p
			}
		}
		t.Fatal("no pack")
		return circuit.Part{}
	}
	c, _ := v.Circuit()
	chemistry, err := battery.ChemistryNamed(string(v.Packs[0].Chemistry.Value))
	if err != nil {
		t.Fatal(err)
	}
	cell, err := chemistry.TypicalResistance(v.Packs[0].Capacity.Stated())
	if err != nil {
		t.Fatal(err)
	}
	typical := float64(cell.Value) * float64(v.Packs[0].Series.Value)
	p := pack(c)
	if math.Abs(float64(p.Resistance)/typical-1) > 1e-12 || !strings.Contains(p.Taken, "typical of "+chemistry.Title) || !(p.Least > 0 && p.Least < p.Resistance) {
		t.Errorf("%g Ω, least %g Ω, %q; typical is %g", float64(p.Resistance), float64(p.Least), p.Taken, typical)
	}
	results := NewResults()
	results.Predictions = map[string]*ride.Answers{v.Path(): {Basis: ride.Basis{Calibrated: true, Values: []battery.Value{
		{Name: ride.ResistanceAfter10s, Quantity: quantity.Quantity{Dimension: quantity.Resistance, Value: 0.03, U: 0.002}}}}}}
	w := v.Wire(results)
	if p = pack(w.Circuit); p.Resistance != 0.03 || math.Abs(float64(p.Least)-0.026) > 1e-12 || !strings.Contains(p.Taken, "learned from its runs") {
		t.Errorf("learned: %g Ω, least %g Ω, %q", float64(p.Resistance), float64(p.Least), p.Taken)
	}
	for _, verdict := range w.Verdicts {
		if strings.Contains(verdict.CannotJudge, "the resistance of "+p.Name) {
			t.Errorf("%s: %s", verdict.Rule, verdict.CannotJudge)
		}
	}
	said := false
	for _, s := range w.Solutions {
		for _, a := range s.Assumed {
			said = said || strings.Contains(a.Text, "30 mΩ are taken, learned from its runs")
		}
	}
	if !said {
		t.Error("what is taken does not stand among the assumptions")
	}
	v.Packs[0].Resistance = stated
	if c, _ = v.Circuit(); pack(c).Taken != "" || pack(c).Resistance != stated.Value {
		t.Errorf("a stated resistance: %+v", pack(c))
	}
}
