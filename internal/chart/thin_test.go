package chart

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// The check values are of an independent implementation of the published method with the bucket rule that the
// comment of Thin states.
func TestThinPicksTheLargestTriangles(t *testing.T) {
	y := []float64{0, 1, 0, 5, 0, 0, -4, 0, 2, 0, 0, 3}
	x := make([]float64, len(y))
	for i := range x {
		x[i] = float64(i)
	}
	for _, c := range []struct {
		n    int
		want []int
	}{
		{4, []int{0, 3, 6, 11}},
		{5, []int{0, 3, 6, 8, 11}},
		{6, []int{0, 2, 3, 6, 8, 11}},
		{12, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}},
		{99, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}},
	} {
		if got := Thin(x, y, c.n); !slices.Equal(got, c.want) {
			t.Errorf("Thin to %d = %v, want %v", c.n, got, c.want)
		}
	}
}

// What Thin promises for any data: at most n indices, rising, first and last, and a lowest and a highest value.
func TestThinKeepsEndsAndExtremes(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	spike := func(at ...int) func(int) float64 {
		return func(i int) float64 {
			for k, a := range at {
				if i == a {
					return float64(100 - 200*(k%2))
				}
			}
			return math.Sin(float64(i) / 50)
		}
	}
	for name, f := range map[string]func(int) float64{
		"noise":                     func(int) float64 { return random.NormFloat64() },
		"level":                     func(int) float64 { return 4 },
		"ramp":                      func(i int) float64 { return float64(i) },
		"spikes side by side":       spike(500, 501),
		"spikes at the first point": spike(1, 2),
		"spikes at the last point":  spike(9998, 9997),
		"square wave":               func(i int) float64 { return float64(i / 37 % 2) },
	} {
		for _, size := range []int{5, 13, 50, 399, 1000, 10000} {
			x, y := make([]float64, size), make([]float64, size)
			for i := range x {
				x[i], y[i] = float64(i), f(i)
			}
			for _, n := range []int{4, 5, 7, 100, 333} {
				got := Thin(x, y, n)
				if len(got) > n && len(got) > 4 {
					t.Errorf("%s, %d points to %d: kept %d", name, size, n, len(got))
				}
				if !slices.IsSorted(got) || len(slices.Compact(slices.Clone(got))) != len(got) {
					t.Errorf("%s, %d points to %d: indices do not rise", name, size, n)
				}
				if got[0] != 0 || got[len(got)-1] != size-1 {
					t.Errorf("%s, %d points to %d: an end is lost", name, size, n)
				}
				lo, hi := math.Inf(1), math.Inf(-1)
				for _, i := range got {
					lo, hi = min(lo, y[i]), max(hi, y[i])
				}
				if lo != slices.Min(y) || hi != slices.Max(y) {
					t.Errorf("%s, %d points to %d: extremes [%g, %g], want [%g, %g]", name, size, n, lo, hi, slices.Min(y), slices.Max(y))
				}
			}
		}
	}
}

func TestThinnedKeepsGaps(t *testing.T) {
	s := Series{Name: "a"}
	for i := range 5000 {
		if i == 1000 || i == 1001 || i == 4000 {
			s.Breaks = append(s.Breaks, i)
		}
		s.X = append(s.X, float64(i))
		s.Y = append(s.Y, math.Sin(float64(i)/100))
	}
	got := s.thinned(200)
	if len(got.Breaks) != 3 {
		t.Fatalf("%d gaps left, want 3", len(got.Breaks))
	}
	for k, want := range []float64{1000, 1001, 4000} {
		if b := got.Breaks[k]; got.X[b] != want {
			t.Errorf("gap %d is before x = %g, want %g", k, got.X[b], want)
		}
	}
	if len(got.X) > 220 {
		t.Errorf("%d points left, want about 200", len(got.X))
	}
}

func noise(n int) (x, y []float64) {
	random := rand.New(rand.NewPCG(3, 4))
	x, y = make([]float64, n), make([]float64, n)
	for i := range x {
		x[i], y[i] = float64(i), 24-float64(i)/float64(n)+random.NormFloat64()/10
	}
	return x, y
}

var sink float64

// The floor of any thinning that keeps extremes: look at each value once.
func BenchmarkScan(b *testing.B) {
	_, y := noise(1_000_000)
	for b.Loop() {
		lo, hi := y[0], y[0]
		for _, v := range y {
			if v < lo {
				lo = v
			}
			if v > hi {
				hi = v
			}
		}
		sink = lo + hi
	}
}

func BenchmarkThin(b *testing.B) {
	x, y := noise(1_000_000)
	for b.Loop() {
		sink = float64(len(Thin(x, y, 1500)))
	}
}
