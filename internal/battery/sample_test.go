package battery

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// The fixed points have the moments of the standard normal distribution, and no
// two of the first dimensions go together.
func TestPoints(t *testing.T) {
	at := points(samples, 2*places.n)
	for i := range at[0] {
		var sum, square float64
		for _, p := range at {
			sum, square = sum+p[i], square+p[i]*p[i]
		}
		if mean, variance := sum/samples, square/samples; math.Abs(mean) > 1e-9 || math.Abs(variance-1) > 0.02 {
			t.Errorf("dimension %d: mean %.3f, variance %.3f", i, mean, variance)
		}
		for j := range i {
			var both float64
			for _, p := range at {
				both += p[i] * p[j]
			}
			if r := both / samples; math.Abs(r) > 0.3 {
				t.Errorf("dimensions %d and %d go together: %.2f", j, i, r)
			}
		}
	}
}

func known(t testing.TB, chem string, ah float64, series int, ambient quantity.Celsius) []KnownPack {
	t.Helper()
	e, err := Typical(chemistry(t, chem), quantity.Exact(quantity.AmpereHours(ah)))
	if err != nil {
		t.Fatal(err)
	}
	return []KnownPack{{Estimate: e, Pack: Pack{Name: "pack", Series: series, Parallel: 1, Charge: 1, Temperature: ambient}}}
}

// reachedAt runs cells that are drawn at random as the estimate is spread: the
// oracle, GUM Supplement 1 with a plain generator. Cases that do not come down
// to the level count by the end of their run.
func reachedAt(t testing.TB, packs []KnownPack, l Load, cutout *Cutout, ambient quantity.Celsius, level string, n int) []float64 {
	t.Helper()
	rng := rand.New(rand.NewPCG(5, 9))
	var out []float64
	for range n {
		xi := slices.Clone(packs[0].Estimate.xi)
		for i := range xi {
			xi[i] += rng.NormFloat64() // a typical estimate: every unknown standard normal
		}
		c, err := packs[0].Estimate.typical.cell(xi)
		if err != nil {
			t.Fatal(err)
		}
		p := packs[0].Pack
		p.Cell = c
		o, err := RunTimes([]Pack{p}, Steady(l), cutout, ambient)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range o.Levels {
			if at := float64(r.At); r.Name == level {
				if math.IsNaN(at) {
					at = float64(o.Elapsed)
				}
				out = append(out, at)
			}
		}
	}
	return out
}

// A level near the voltage that the load holds for most of the run: no straight
// line tells when it is reached, and the answer says so in bounds that the charge
// allows.
func TestLevelInTheFlat(t *testing.T) {
	for _, c := range []struct {
		chem          string
		series        int
		ah            float64
		load          Load
		cutout        *Cutout
		ambient       quantity.Celsius
		level         string
		uncertain     bool
		withinPercent float64 // of the longest run, that a bound may differ from the oracle's
	}{
		{"lfp", 8, 20, Drawing(20), &Cutout{Opens: 24.6}, 2, CutoutLevel, true, 6},
		{"lfp", 8, 20, Drawing(60), &Cutout{Opens: 24.6}, 2, ConservativeFloor, true, 8},
		{"lead-acid-agm", 6, 17, Drawing(12), nil, 20, ConservativeFloor, true, 8},
		{"lfp", 8, 20, Drawing(10), &Cutout{Opens: 24.6}, 2, CutoutLevel, true, 8},
		{"lfp", 8, 20, Drawing(4), &Cutout{Opens: 23.2}, 20, CutoutLevel, false, 8},
		{"nmc", 5, 5, Drawing(5), nil, 20, ConservativeFloor, false, 8},
	} {
		packs := known(t, c.chem, c.ah, c.series, c.ambient)
		all, err := Forecasts(packs, Steady(c.load), c.cutout, c.ambient)
		if err != nil {
			t.Fatal(err)
		}
		f := all[slices.IndexFunc(all, func(f Forecast) bool { return f.Name == c.level })]
		times := reachedAt(t, packs, c.load, c.cutout, c.ambient, c.level, 1000)
		low, high := middle95(times)
		longest := times[len(times)-1]
		var from, to float64
		if e, ok := errors.AsType[*UncertainError](f.Err); ok {
			from, to = float64(e.From), float64(e.To)
			if f.Time.Known() || !strings.Contains(e.Error(), "is reached between") {
				t.Errorf("%s: %v, %v", c.chem, f.Time, e)
			}
			model := math.Exp(2 * packs[0].Estimate.ModelError(Circumstances{Ambient: c.ambient, Current: quantity.Amperes(c.load.value)}))
			low, high = low/model, high*model
		} else {
			from, to = float64(f.Time.Value-f.Time.Expanded()), float64(f.Time.Value+f.Time.Expanded())
			high = math.Max(high, to) // as wide on the better side as on the worse
			low = math.Min(low, from)
		}
		t.Logf("%s, %v to %s: %.0f s to %.0f s, by chance %.0f s to %.0f s; longest %.0f s", c.chem, c.load, c.level, from, to, low, high, longest)
		if got := f.Err != nil; got != c.uncertain {
			t.Errorf("%s: %v", c.chem, f.Err)
		}
		if tol := c.withinPercent / 100 * longest; math.Abs(from-low) > tol || math.Abs(to-high) > tol {
			t.Errorf("%s: %.0f s to %.0f s, the oracle has %.0f s to %.0f s", c.chem, from, to, low, high)
		}
		if from < 0 || to > 1.35*longest {
			t.Errorf("%s: %.0f s to %.0f s, the longest run of 1000 is %.0f s", c.chem, from, to, longest)
		}
	}
}

// Where the straight line does, the sample gives the same.
func TestSampleIsSpreadWhereStraight(t *testing.T) {
	packs := known(t, "nmc", 5, 5, 25)
	e := packs[0].Estimate
	f := func(cells []*Cell) ([]float64, error) {
		return []float64{float64(cells[0].Capacity), float64(cells[0].ResistanceAt(0.5, 25, 0)), cells[0].HeatCapacity}, nil
	}
	want, err := SpreadOver([]*Estimate{e}, f)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := sampled([]*Estimate{e}, f)
	if err != nil {
		t.Fatal(err)
	}
	for k, s := range want {
		var sum, square float64
		for _, y := range rows {
			sum, square = sum+y[k], square+y[k]*y[k]
		}
		mean := sum / samples
		u := math.Sqrt(square/samples - mean*mean)
		if part := s.U / s.Value; part < 0.2 && math.Abs(u/s.U-1) > 0.15 {
			t.Errorf("answer %d: %.4g of the sample, %.4g to first order", k, u, s.U)
		}
	}
}
