package battery

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// lineCell is a cell of 24 V to 28 V in a straight line: what a capacitor is in a circuit simulator.
func lineCell(t testing.TB, ah, ohms, r1, tau float64) *Cell {
	t.Helper()
	curve, err := NewCurve([]float64{0, 0.5, 1}, []float64{24, 26, 28})
	if err != nil {
		t.Fatal(err)
	}
	return &Cell{Curve: curve, Capacity: quantity.AmpereHours(ah), Ohmic: Profile{ohms}, Reference: 25, Branches: []Branch{{Profile{r1}, quantity.Seconds(tau)}}}
}

// Oracle: ngspice on the netlist testdata/ngspice/parallel.cir, values recorded
// by values.py; voltages to 1e-6 of themselves, currents to 1e-6 of the 12 A drawn.
func TestAgainstNgspice(t *testing.T) {
	text, err := os.ReadFile("testdata/ngspice/parallel.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct {
		MadeWith string `json:"made_with"`
		Rows     []struct{ T, V, A, B float64 }
	}
	if err := json.Unmarshal(text, &f); err != nil {
		t.Fatal(err)
	}
	a, b := NewPack(lineCell(t, 8, 0.04, 0.02, 30), 1), NewPack(lineCell(t, 4, 0.09, 0.03, 60), 1)
	a.Charge, b.Charge = 0.9, 0.6
	var worst float64
	for _, row := range f.Rows {
		var d Demand
		left := row.T
		for _, p := range []Part{{Idle(), 300}, {Drawing(12), 900}, {Idle(), 1e6}} {
			p.For = min(p.For, quantity.Seconds(left))
			if p.For <= 0 {
				break
			}
			left -= float64(p.For)
			d.Parts = append(d.Parts, p)
		}
		o, err := Simulate(Scenario{Packs: []Pack{a, b}, Demand: d, Tolerance: 1e-8, TracePoints: 2})
		if err != nil {
			t.Fatal(err)
		}
		last := o.Trace[len(o.Trace)-1]
		for _, c := range []struct{ got, want, scale float64 }{
			{float64(last.Volts), row.V, row.V}, {float64(last.Shares[0]), row.A, 12}, {float64(last.Shares[1]), row.B, 12},
		} {
			worst = max(worst, math.Abs(c.got-c.want)/c.scale)
			if math.Abs(c.got-c.want) > 1e-6*c.scale {
				t.Errorf("at %g s: %.9g, %s %.9g", row.T, c.got, f.MadeWith, c.want)
			}
		}
	}
	t.Logf("%s: worst relative difference %.1e", f.MadeWith, worst)
}

// Reference values, section 17 (computed by Ohm's law there).
func TestJoin(t *testing.T) {
	for _, tt := range []struct {
		name           string
		e1, r1, e2, r2 float64
		amps, watts    float64
	}{
		{"3 V apart, 80 + 80 + 10 mΩ", 27.5, 0.08, 24.5, 0.09, 17.6471, 52.9412},
		{"two 10S4P packs, 36 mΩ a cell, 10 mΩ of leads, 1.5 V apart", 27, 0.09, 25.5, 0.1, 7.8947, 11.8421},
		{"20 mΩ, 0.6 V apart", 27, 0.008, 26.4, 0.012, 30, 18},
	} {
		a, b := NewPack(lineCell(t, 5, tt.r1, 0.001, 10), 1), NewPack(lineCell(t, 5, tt.r2, 0.001, 10), 1)
		a.Charge, b.Charge = (tt.e1-24)/4, (tt.e2-24)/4
		j, err := Join([]Pack{a, b}, 25)
		if err != nil {
			t.Fatal(err)
		}
		v, i1, i2 := TwoThevenin(quantity.Volts(tt.e1), quantity.Ohms(tt.r1), quantity.Volts(tt.e2), quantity.Ohms(tt.r2), 0)
		if math.Abs(float64(j.Largest)-tt.amps) > 1e-4 || math.Abs(float64(j.Heat)-tt.watts) > 1e-3 {
			t.Errorf("%s: %.5f A and %.4f W, want %.4f A and %.4f W", tt.name, float64(j.Largest), float64(j.Heat), tt.amps, tt.watts)
		}
		if math.Abs(float64(j.Volts-v)) > 1e-12 || math.Abs(float64(j.Currents[0]-i1)) > 1e-9 || math.Abs(float64(j.Currents[1]-i2)) > 1e-9 {
			t.Errorf("%s: %v V, %v, closed form %v V, %v and %v", tt.name, j.Volts, j.Currents, v, i1, i2)
		}
		// Charge is kept: the mean of equal packs is where both end up, within what still flows.
		if mean := (a.Charge + b.Charge) / 2; math.Abs((j.After[0]+j.After[1])/2-mean) > 1e-9 || math.Abs(j.After[0]-j.After[1]) > 0.02 {
			t.Errorf("%s: charges %v after, mean %g before", tt.name, j.After, mean)
		}
	}
}

func TestUnequalJoin(t *testing.T) {
	a, b := NewPack(lineCell(t, 8, 0.04, 0.02, 30), 1), NewPack(lineCell(t, 4, 0.04, 0.02, 30), 1)
	a.Name, b.Name = "left", "right"
	j, err := Join([]Pack{a, b}, 25)
	if u, ok := errors.AsType[*UnequalCapacityError](err); !ok || j == nil || !strings.Contains(u.Error(), "left 8 Ah right 4 Ah") {
		t.Errorf("unequal capacities: %v, %v", j, err)
	}
	b.Series = 2
	if j, err := Join([]Pack{a, b}, 25); err == nil || j != nil || !strings.Contains(err.Error(), "cannot be joined in parallel") {
		t.Errorf("unequal series: %v, %v", j, err)
	}
}

// One pack pulled out by its own protection under load: the other carries all of
// it from then on, and the voltage drops by the closed form.
func TestOnePackPulledOut(t *testing.T) {
	a, b := NewPack(lineCell(t, 8, 0.04, 0.02, 30), 1), NewPack(lineCell(t, 8, 0.04, 0.02, 30), 1)
	a.Name, b.Name = "left", "right"
	a.Charge, b.Charge = 0.9, 0.9
	a.Protection = &Cutout{Opens: 26.8, ResetThreshold: quantity.Volts(math.NaN())}
	o, err := Simulate(Scenario{Packs: []Pack{a, b}, Demand: Steady(Drawing(12)), Levels: []Level{{Name: "low", Volts: 26}}, TracePoints: 500})
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Openings) != 1 || o.Openings[0].Pack != "left" || !o.Packs[0].CutOff || o.Packs[1].CutOff {
		t.Fatalf("openings %+v, packs %+v", o.Openings, o.Packs)
	}
	if o.Packs[1].Most < 11.9 || o.Packs[0].Most > 6.1 {
		t.Errorf("most current: %v and %v", o.Packs[0].Most, o.Packs[1].Most)
	}
	at := o.Openings[0].At
	for i, row := range o.Trace {
		if row.At > at && i > 0 {
			if row.Shares[0] != 0 || math.Abs(float64(row.Shares[1]-12)) > 1e-9 {
				t.Errorf("after the opening the packs carry %v", row.Shares)
			}
			break
		}
	}
}
