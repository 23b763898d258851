package runlog

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"
)

func TestMomentsNIST(t *testing.T) {
	for _, c := range []struct {
		set      string
		mean, sd float64 // digits needed
	}{
		{"Lew", 15, 14}, {"Lottery", 15, 14}, {"Mavro", 15, 12}, {"Michelson", 15, 13},
	} {
		t.Run(c.set, func(t *testing.T) {
			var m moments
			for _, y := range readColumns(t, filepath.Join("testdata", "nist", lower(c.set)+".csv"), 1)[0] {
				m.add(y)
			}
			want := certified(t, c.set)
			wantDigits(t, "mean", m.average(), want["mean"][0], c.mean-0.5)
			wantDigits(t, "SD", m.sd(), want["sample SD"][0], c.sd-0.5)
		})
	}
}

// NumAcc1 to NumAcc4 are made by the rule that NIST publishes for them: one central value, then pairs around it.
func TestMomentsNumAcc(t *testing.T) {
	pairs := func(first, low, high float64) []float64 {
		out := []float64{first}
		for range 500 {
			out = append(out, low, high)
		}
		return out
	}
	for _, c := range []struct {
		name     string
		values   []float64
		mean, sd float64
		digits   float64 // of the SD; what the doubles nearest to the data allow
	}{
		{"NumAcc1", []float64{10000001, 10000003, 10000002}, 10000002, 1, 15},
		{"NumAcc2", pairs(1.2, 1.1, 1.3), 1.2, 0.1, 14},
		{"NumAcc3", pairs(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, 9},
		{"NumAcc4", pairs(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			var m moments
			for _, v := range c.values {
				m.add(v)
			}
			wantDigits(t, "mean", m.average(), c.mean, 14.5)
			wantDigits(t, "SD", m.sd(), c.sd, c.digits)
		})
	}
}

func TestTotalKeepsSmallTerms(t *testing.T) {
	var s total
	s.add(1)
	s.add(1e100)
	s.add(1)
	s.add(-1e100)
	if got := s.value(); got != 2 { // Neumaier's own example
		t.Errorf("1 + 1e100 + 1 − 1e100 = %g, want 2", got)
	}
}

func TestQuantilesStayWithinHalfAPerCent(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var q quantiles
	var all []float64
	for range 50_000 {
		v := math.Exp(random.NormFloat64()*2) * 3
		all = append(all, v)
		q.add(v, 1)
	}
	slices.Sort(all)
	for _, part := range []float64{0.5, 0.1, 0.05, 0.01, 0.001} {
		want := all[len(all)-1-int(part*float64(len(all)))]
		got := q.exceededBy(part * float64(len(all)))
		if math.Abs(got/want-1) > 0.0051 {
			t.Errorf("exceeded in %g of the weight: %g, sorted %g", part, got, want)
		}
	}
	if q.small != nil || len(q.bins) != quantileBins {
		t.Error("the sketch did not give up its list")
	}
}
