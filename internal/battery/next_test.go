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
