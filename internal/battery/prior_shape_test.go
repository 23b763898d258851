package battery

import (
	"math"
	"testing"
)

func close12(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-12*max(1, math.Abs(want))) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// The scale that stretches both ends, ln((z + 0.02)/(1.02 − z)), its inverse and knots on it: the middle is nought, the ends lie as far
// from it either way.
func TestScaleOfKnots(t *testing.T) {
	end := math.Log(51) // 1.02/0.02
	for z, x := range map[float64]float64{0: -end, 1: end, 0.5: 0, 0.25: math.Log(0.27 / 0.77)} {
		close12(t, "on the scale", onScale(z), x)
		close12(t, "off the scale", offScale(x), z)
	}
	got, e := knots(5), math.Exp(-end/2)
	low := (1.02*e - 0.02) / (1 + e)
	for i, want := range []float64{0, low, 0.5, 1 - low, 1} {
		close12(t, "knot", got[i], want)
	}
	for _, n := range []int{curveKnots, ohmKnots, heatKnots} {
		k := knots(n)
		if len(k) != n || k[0] < 0 || k[n-1] > 1 {
			t.Errorf("%d knots: %v", n, k)
		}
		close12(t, "the first knot", k[0], 0)
		close12(t, "the last knot", k[n-1], 1)
	}
}

// Where each unknown stands: 1 + 21 + 3 · (1 + 11) + 3 + 3 + 1 + 2 + (1 + 7) of them, one after the other.
func TestPlacesOfUnknowns(t *testing.T) {
	want := layout{capacity: 0, curve: 1, ohm: 22, fast: 34, slow: 46, fastTime: 58, slowTime: 59, lag: 60, energyO: 61, energyB: 62, energyL: 63, peukert: 64, heatCapacity: 65, coolingTime: 66, entropic: 67, n: 75}
	if places != want {
		t.Errorf("%+v, want %+v", places, want)
	}
}

// The charges at which a curve is tabled, every hundredth at the ends and every fiftieth between, and the knots on either side of each.
func TestGridOfCurves(t *testing.T) {
	if len(shape.grid) != 10+40+11 || len(shape.gridWeights) != 61 || len(shape.profileWeights) != 201 || len(shape.heatWeights) != 201 {
		t.Fatalf("%d places, %d, %d and %d weights", len(shape.grid), len(shape.gridWeights), len(shape.profileWeights), len(shape.heatWeights))
	}
	for i, want := range map[int]float64{0: 0, 1: 0.01, 9: 0.09, 10: 0.1, 11: 0.12, 49: 0.88, 50: 0.9, 51: 0.91, 60: 1} {
		close12(t, "place", shape.grid[i], want)
	}
	for i, w := range shape.profileWeights {
		if w != between(shape.ohmAt, float64(i)/200) || shape.heatWeights[i] != between(shape.heatAt, float64(i)/200) {
			t.Errorf("place %d of the profiles", i)
		}
	}
	// The correlation of two neighbours of n knots, which are 2·ln 51/(n − 1) apart.
	for n, x := range map[int]struct{ got, reach float64 }{curveKnots: {shape.curveRoot.At(1, 0), 0.9}, ohmKnots: {shape.ohmRoot.At(1, 0), 1.2}, heatKnots: {shape.heatRoot.At(1, 0), 1.2}} {
		close12(t, "neighbours", x.got, math.Exp(-2*math.Log(51)/float64(n-1)/x.reach))
	}
}

// A charge lies between two knots by its part of the way on the scale.
func TestBetweenKnots(t *testing.T) {
	at := []float64{0, 0.5, 1}
	quarter := (math.Log(0.27/0.77) + math.Log(51)) / math.Log(51)
	for _, tt := range []struct {
		z float64
		i int
		f float64
	}{{-0.01, 0, 0}, {0, 0, 0}, {0.25, 0, quarter}, {0.5, 0, 1}, {0.500001, 1, 0}, {0.75, 1, 1 - quarter}, {1, 1, 1}, {1.01, 1, 1}} {
		if w := between(at, tt.z); w.i != tt.i || math.Abs(w.f-tt.f) > 1e-5 {
			t.Errorf("%g lies at %+v, want %d and %g", tt.z, w, tt.i, tt.f)
		}
	}
	close12(t, "a quarter from 2 to 6", weight{1, 0.25}.of([]float64{1, 2, 6}), 3)
}

// Two knots at nought and a half: the correlation is exp(−ln 51/reach), the root is known by hand.
func TestRootOfTwoKnots(t *testing.T) {
	root, k := kernelRoot([]float64{0, 0.5}, 2), math.Exp(-math.Log(51)/2)
	s := math.Sqrt(1 - k*k)
	for _, x := range []struct {
		i, j int
		want float64
	}{{0, 0, 1}, {0, 1, 0}, {1, 0, k}, {1, 1, s}} {
		close12(t, "the root", root.At(x.i, x.j), x.want)
	}
	got := correlated(root, []float64{2, 3}, 0.5)
	close12(t, "the first value", got[0], 1)
	close12(t, "the second value", got[1], 0.5*(2*k+3*s))
}

// What falls is made level with the mean of what it falls from, back as far as that falls.
func TestRiseByHand(t *testing.T) {
	for _, tt := range [][2][]float64{
		{{1, 2, 3}, {1, 2, 3}}, {{1, 3, 2, 4}, {1, 2.5, 2.5, 4}}, {{3, 2, 1}, {2, 2, 2}}, {{2, 1}, {1.5, 1.5}},
		{{5, 1, 3, 2}, {2.75, 2.75, 2.75, 2.75}}, {{6, 0, 0, 7}, {2, 2, 2, 7}}, {{1, 1}, {1, 1}}, {{4}, {4}},
	} {
		rise(tt[0])
		for i := range tt[0] {
			close12(t, "a value", tt[0][i], tt[1][i])
		}
	}
}

// A profile is its base times exp of the level and of the values at the knots.
func TestProfilesByHand(t *testing.T) {
	xi := make([]float64, 1+ohmKnots)
	xi[0] = 1
	for _, r := range profile(0.01, 0.2, 0.5, xi) {
		close12(t, "the level alone", r, 0.01*math.Exp(0.2))
	}
	xi[1] = 1 // the first knot, by which the others go with their correlation to it
	p := profile(0.01, 0.2, 0.5, xi)
	close12(t, "empty", p[0], 0.01*math.Exp(0.2+0.5))
	close12(t, "full", p[200], 0.01*math.Exp(0.2+0.5*math.Exp(-2*math.Log(51)/1.2)))
}
