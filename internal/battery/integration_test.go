package battery

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// flatCell has a straight open-circuit line from 3 V to 4 V, one branch, no
// lag and no heat: closed forms exist for it.
func flatCell(t testing.TB) *Cell {
	t.Helper()
	curve, err := NewCurve([]float64{0, 0.25, 0.5, 0.75, 1}, []float64{3, 3.25, 3.5, 3.75, 4})
	if err != nil {
		t.Fatal(err)
	}
	return &Cell{Curve: curve, Capacity: 5, Ohmic: Profile{0.03}, Reference: 25,
		Branches: []Branch{{Profile{0.02}, 40}}}
}

// With U = 3 V + z·1 V, a constant current I and τ the time constant,
// V(t) = 4 − I·t/(3600·Q) − R₀·I − R₁·I·(1 − exp(−t/τ)). For t ≫ τ the time to a
// voltage is t = 3600·Q/I·(4 − V − (R₀ + R₁)·I). Oracle: the closed form.
func TestConstantCurrentOnALine(t *testing.T) {
	for _, tt := range []struct{ amps, to float64 }{{5, 3.3}, {1, 3.05}, {10, 3.2}, {2.5, 3.9}} {
		p := NewPack(flatCell(t), 1)
		o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Steady(Drawing(quantity.Amperes(tt.amps))),
			Levels: []Level{{Name: "level", Volts: quantity.Volts(tt.to)}}})
		if err != nil {
			t.Fatal(err)
		}
		// Newton on the full closed form.
		q := 3600 * 5.0
		at := q / tt.amps * (4 - tt.to - 0.05*tt.amps)
		for range 50 {
			f := 4 - tt.amps*at/q - 0.05*tt.amps + 0.02*tt.amps*math.Exp(-at/40) - tt.to
			at += f / (tt.amps/q + 0.02*tt.amps/40*math.Exp(-at/40))
		}
		if got := float64(o.Levels[0].At); math.Abs(got/at-1) > 1e-9 {
			t.Errorf("%g A to %g V: %.9f s, closed form %.9f s", tt.amps, tt.to, got, at)
		}
		charge := tt.amps * at / 3600
		if got := float64(o.Levels[0].Charge); math.Abs(got/charge-1) > 1e-9 {
			t.Errorf("%g A: charge %.12f Ah, want %.12f Ah", tt.amps, got, charge)
		}
		// ∫V dt in closed form.
		joules := tt.amps * (at*(4-0.05*tt.amps) - tt.amps*at*at/2/q + 0.02*tt.amps*40*-math.Expm1(-at/40))
		if got := 3600 * float64(o.Levels[0].Energy); math.Abs(got/joules-1) > 1e-9 {
			t.Errorf("%g A: energy %.9f J, closed form %.9f J", tt.amps, got, joules)
		}
	}
}

// The 1-RC worked example of the reference values, section 8 (inputs from a
// published page, values computed): OCV 3.7 V, R₀ 0.1 Ω, R₁ 0.05 Ω, C₁ 200 F, 2 A;
// the current is taken off after 5 s. A capacity of 1e9 Ah keeps the OCV still.
func TestBranchStep(t *testing.T) {
	curve, err := NewCurve([]float64{0, 0.5, 1}, []float64{3.7, 3.7, 3.7})
	if err != nil {
		t.Fatal(err)
	}
	cell := &Cell{Curve: curve, Capacity: 1e9, Ohmic: Profile{0.1}, Reference: 25, Branches: []Branch{{Profile{0.05}, 10}}}
	for _, tt := range []struct{ on, off, want float64 }{
		{1, 0, 3.490484}, {5, 0, 3.460653}, {10, 0, 3.436788}, {50, 0, 3.400674},
		{5, 5, 3.676135}, {5, 10, 3.685525},
	} {
		d := Demand{Parts: []Part{{Drawing(2), quantity.Seconds(tt.on)}}}
		closed := 3.7 - 0.2 - 0.1*-math.Expm1(-tt.on/10)
		if tt.off > 0 {
			d.Parts = append(d.Parts, Part{Idle(), quantity.Seconds(tt.off)})
			closed = 3.7 - 0.1*-math.Expm1(-tt.on/10)*math.Exp(-tt.off/10)
		}
		o, err := Simulate(Scenario{Packs: []Pack{NewPack(cell, 1)}, Demand: d})
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(o.Volts); math.Abs(got-tt.want) > 1e-6 || math.Abs(got-closed) > 1e-9 {
			t.Errorf("on %g s, off %g s: %.9f V, want %.6f V as printed and %.9f V in closed form", tt.on, tt.off, got, tt.want, closed)
		}
	}
}
