package battery

import (
	"fmt"
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// scaled are two numbers of which the second has to be a multiple of the first, to the digits that a simulation holds.
func scaled(t *testing.T, what string, of, is, factor float64) {
	t.Helper()
	if want := factor * of; !(math.Abs(is-want) <= 1e-5*math.Abs(want)+1e-9) && !(math.IsNaN(is) && math.IsNaN(want)) {
		t.Errorf("%s: %v, want %v times %v", what, is, factor, of)
	}
}

// TestForecastsScale: by Kirchhoff's laws, three cells side by side and two such groups in a string are six cells that each do what one
// does under a sixth of the power, a third of the current, a half of the voltage; what is open of a time stays as it is, what is open of a
// charge and of an energy grows with them.
func TestForecastsScale(t *testing.T) {
	e, err := Typical(chemistry(t, "lfp"), quantity.Of(quantity.AmpereHours(8), quantity.AmpereHours(0.2)))
	if err != nil {
		t.Fatal(err)
	}
	const n, s = 3.0, 2.0
	for name, loads := range map[string][2]Load{"a current": {Drawing(6), Drawing(6 * n)}, "a power": {Delivering(18), Delivering(18 * n * s)}, "a resistance": {Across(0.5), Across(0.5 * s / n)}} {
		one, six := NewPack(nil, 1), NewPack(nil, int(s))
		six.Parallel = int(n)
		one.Charge, six.Charge, one.Temperature, six.Temperature = 0.9, 0.9, 15, 15
		one.Leads, six.Leads = 0.003, 0.003*s/n
		a, err := Forecasts([]KnownPack{{Estimate: e, Pack: one, Cycles: 40}}, Steady(loads[0]), &Cutout{Opens: 2.9, Delay: 2}, 15)
		b, other := Forecasts([]KnownPack{{Estimate: e, Pack: six, Cycles: 40}}, Steady(loads[1]), &Cutout{Opens: 2.9 * s, Delay: 2}, 15)
		if err != nil || other != nil || len(a) != len(b) || len(a) < 2 {
			t.Fatalf("%s: %d and %d levels, %v, %v", name, len(a), len(b), err, other)
		}
		for k := range a {
			x, y, at := a[k], b[k], fmt.Sprintf("%s, %s, ", name, a[k].Name)
			if x.Err != nil || y.Err != nil {
				t.Errorf("%s: %v, %v", at, x.Err, y.Err)
				continue
			}
			scaled(t, at+"volts", float64(x.Volts), float64(y.Volts), s)
			scaled(t, at+"time", float64(x.Time.Value), float64(y.Time.Value), 1)
			scaled(t, at+"u of the time", float64(x.Time.U), float64(y.Time.U), 1)
			scaled(t, at+"charge", float64(x.Charge.Value), float64(y.Charge.Value), n)
			scaled(t, at+"u of the charge", float64(x.Charge.U), float64(y.Charge.U), n)
			scaled(t, at+"energy", float64(x.Energy.Value), float64(y.Energy.Value), n*s)
			scaled(t, at+"u of the energy", float64(x.Energy.U), float64(y.Energy.U), n*s)
			scaled(t, at+"left", float64(x.Left.Value), float64(y.Left.Value), n)
			scaled(t, at+"u of what is left", float64(x.Left.U), float64(y.Left.U), n)
		}
	}
}

// TestJoiningScales: the same of packs that are joined; and at the first moment, of two packs, I = ΔE/(R₁ + R₂).
func TestJoiningScales(t *testing.T) {
	const n, s = 3.0, 2.0
	of := func(series, parallel int) []Pack {
		a, b := NewPack(lineCell(t, 8, 0.04, 0.02, 30), series), NewPack(lineCell(t, 4, 0.09, 0.03, 60), series)
		a.Parallel, b.Parallel = parallel, parallel
		a.Charge, b.Charge = 0.9, 0.6
		return []Pack{a, b}
	}
	one, err := Join(of(1, 1), 25)
	six, other := Join(of(int(s), int(n)), 25)
	if one == nil || six == nil {
		t.Fatal(err, other)
	}
	scaled(t, "first current", 0.3*4/(0.04+0.09), float64(one.Largest), 1) // 4 V over the whole charge
	scaled(t, "largest", float64(one.Largest), float64(six.Largest), n)
	for k := range one.Currents {
		scaled(t, "current", float64(one.Currents[k]), float64(six.Currents[k]), n)
		scaled(t, "charge after", one.After[k], six.After[k], 1)
	}
	scaled(t, "volts", float64(one.Volts), float64(six.Volts), s)
	scaled(t, "apart", float64(one.Apart), float64(six.Apart), s)
	scaled(t, "heat", float64(one.Heat), float64(six.Heat), n*s)
	scaled(t, "heat at the first moment", float64(one.Largest)*float64(one.Largest)*(0.04+0.09), float64(one.Heat), 1)
	scaled(t, "moved", float64(one.Moved), float64(six.Moved), n)
	scaled(t, "settles", float64(one.Settles), float64(six.Settles), 1)
	if float64(one.Currents[0]+one.Currents[1]) > 1e-9 || one.Currents[0] != one.Largest || !(one.Moved > 0) {
		t.Errorf("%+v", one)
	}
}
