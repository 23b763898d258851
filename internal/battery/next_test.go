package battery

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// What one more run is said to bring is what it brings: a cell is run down, taught by that, and asked again.
func TestNarrowedByARunThatIsMade(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), ampereHours(5))
	if err != nil {
		t.Fatal(err)
	}
	answer := Steady(Drawing(2.5))
	made := func(e *Estimate, amps float64, ambient quantity.Celsius) *Estimate {
		p := plainNMC
		p.steps, p.every = [][2]float64{{amps, 1e6}}, 20
		l := p.log(t, "made")
		l.Ambient = quantity.Exact(ambient)
		cal, err := e.Calibrate(l)
		if err != nil {
			t.Fatal(err)
		}
		return cal.After
	}
	for name, e := range map[string]*Estimate{"nothing taught": e, "a slow run taught": made(e, 0.7, 22)} {
		known := KnownPack{Estimate: e, Pack: NewPack(nil, 1)}
		trials := []Trial{{Drawing(2.5), 22}, {Drawing(5), 22}}
		now, after, err := Narrowed(known, answer, nil, 22, trials)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Forecasts([]KnownPack{known}, answer, nil, 22)
		if err != nil {
			t.Fatal(err)
		}
		if r := float64(now.U / f[0].Time.U); math.Abs(float64(now.Value/f[0].Time.Value)-1) > 1e-3 || math.Abs(r-1) > 0.1 {
			t.Errorf("%s: %v, the forecast is %v", name, now, f[0].Time)
		}
		for i, amps := range []float64{2.5, 5} {
			known.Estimate = made(e, amps, 22)
			f, err := Forecasts([]KnownPack{known}, answer, nil, 22)
			if err != nil {
				t.Fatal(err)
			}
			part := float64(f[0].Time.U / f[0].Time.Value)
			if said := float64(after[i] / now.Value); !(said < float64(now.U/now.Value)) || math.Abs(said/part-1) > 0.35 {
				t.Errorf("%s, a run at %g A: said ± %.3f, is ± %.3f, was ± %.3f", name, amps, said, part, float64(now.U/now.Value))
			}
			t.Logf("%s, a run at %g A: said ± %.3f, is ± %.3f, was ± %.3f", name, amps, float64(after[i]/now.Value), part, float64(now.U/now.Value))
		}
	}
}

// What one more run adds to what was seen: it widens the currents and the temperatures, counted in doublings and in kelvins beyond them,
// and only a run at a nearer current tells of a charge. By hand.
func TestDoubtsWithOneMoreRun(t *testing.T) {
	seen := conditions{least: 2, most: 8, low: 15, high: 25, logs: make([]Log, 1), amps: []float64{2, math.NaN(), 8}}
	at := func(amps, ambient, charge float64) Circumstances {
		return Circumstances{Current: quantity.Amperes(amps), Ambient: quantity.Celsius(ambient), Charge: quantity.AmpereHours(charge)}
	}
	for name, c := range map[string]struct {
		seen        conditions
		answer, run Circumstances
		want        doubts
	}{
		"within":                      {seen, at(4, 20, 3), at(4, 20, 3), doubts{}},
		"twice and four times beyond": {seen, at(32, 20, 3), at(4, 20, 3), doubts{doublings: 2, beyond: 0.5}},
		"half of the least":           {seen, at(1, 20, 3), at(4, 20, 3), doubts{doublings: 1, beyond: 0.5}},
		"the run is nearer":           {seen, at(1, 20, 3), at(1, 20, 6), doubts{beyond: math.Ln2}},
		"nearer from above":           {seen, at(12, 20, 6), at(12, 20, 3), doubts{beyond: math.Ln2}},
		"colder by five":              {seen, at(4, 10, 3), at(4, 20, 3), doubts{colder: 5}},
		"warmer by seven":             {seen, at(4, 32, 3), at(4, 20, 3), doubts{warmer: 7}},
		"warmer, and the run as well": {seen, at(4, 32, 3), at(4, 30, 3), doubts{warmer: 2}},
		"colder, and the run as well": {seen, at(4, 10, 3), at(4, 12, 3), doubts{colder: 2}},
		"nothing was seen":            {conditions{least: 1, most: 2, low: 20, high: 30}, at(4, 25, 3), at(2, 20, 3), doubts{alone: true, doublings: 1, warmer: 5}},
	} {
		if got := (doubts{typical: true, label: 3, beyond: 0.5}).with(c.seen, c.answer, c.run); math.Abs(got.beyond-c.want.beyond) > 1e-12 || got.doublings != c.want.doublings || got.colder != c.want.colder || got.warmer != c.want.warmer || got.label != 0 || got.typical || got.alone != c.want.alone {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
}
