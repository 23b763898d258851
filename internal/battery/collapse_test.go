package battery

import (
	"math"
	"testing"
)

// A power that is put on later and is too much collapses at once: what is left at the terminals is half of the voltage behind the resistance, and half
// of the current of a short circuit flows (the most power of a source, by dP/dI = 0). The cell has given 1 A for 10 s by then.
func TestCollapseOfTheNextLoad(t *testing.T) {
	p := NewPack(flatCell(t), 1)
	o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Demand{Parts: []Part{{Drawing(1), 10}, {Delivering(200), 60}}}, TracePoints: 8})
	if err != nil || o.Ended != Collapsed || o.Collapse == nil {
		t.Fatalf("%+v, %v", o, err)
	}
	e := 4 - 10./3600/5 - 0.02*(1-math.Exp(-10./40))
	close1(t, "when", float64(o.Elapsed), 10, 1e-9)
	close1(t, "volts", float64(o.Volts), e/2, 1e-6)
	close1(t, "amperes", float64(o.Trace[len(o.Trace)-1].Amperes), e/2/0.03, 1e-6)
	close1(t, "limit", float64(o.Collapse.Limit), e*e/4/0.03, 1e-6)
}

// What chatters without end is left as it was found at the last opening: under load, at the voltage at which the cutout opened.
func TestChatterEndsUnderLoad(t *testing.T) {
	p := NewPack(flatCell(t), 1)
	o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Steady(Drawing(1)), Cutout: &Cutout{Opens: 1, Trip: 0.5}})
	if err != nil || o.Ended != Chattering {
		t.Fatalf("%+v, %v", o, err)
	}
	last := o.Openings[len(o.Openings)-1]
	if o.Volts != last.Volts || o.Elapsed != last.At || !math.IsNaN(float64(last.ClosedAt)) {
		t.Errorf("%v V after %v s, the last opening %+v", o.Volts, o.Elapsed, last)
	}
	// Each time it is 1 A through 0.03 Ω below what is behind it.
	if rest := float64(o.Volts) + 0.03; rest > 4 || rest < 3.9 {
		t.Errorf("%g V behind the resistance", rest)
	}
}

// The shares of an answer's uncertainty are told with the largest first, those of the same size as the groups are listed.
func TestLargestShareFirst(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), ampereHours(5))
	if err != nil {
		t.Fatal(err)
	}
	s, err := e.Spread(func(c *Cell) ([]float64, error) { return []float64{float64(c.Capacity), float64(c.Lag), 7}, nil })
	if err != nil {
		t.Fatal(err)
	}
	for k, x := range s {
		if len(x.Parts) != len(groups()) {
			t.Fatalf("%d shares", len(x.Parts))
		}
		for n := 1; n < len(x.Parts); n++ {
			if x.Parts[n].U > x.Parts[n-1].U {
				t.Errorf("answer %d: %+v", k, x.Parts)
			}
		}
	}
	if s[0].Parts[0].Name != "capacity" || s[1].Parts[0].Name != "lag" || !(s[0].Parts[0].U > 0) {
		t.Errorf("%+v", s)
	}
	for k, g := range groups() { // nothing moves a number
		if x := s[2].Parts[k]; x.Name != g.name || x.U != 0 {
			t.Errorf("%d: %+v", k, x)
		}
	}
}
