package runlog

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestQuantileBins: the table gives the bin that the logarithm defines, at random magnitudes and on either side of every begin.
func TestQuantileBins(t *testing.T) {
	random := rand.New(rand.NewPCG(14, 1))
	hold := func(x float64) {
		want := 0
		if x > quantileFloor {
			want = quantileByLog(x)
		}
		if got := quantileBin(x); got != want {
			t.Fatalf("%v: %d, want %d", x, got, want)
		}
	}
	for range 200_000 {
		hold(math.Exp(random.Float64()*40 - 12))
	}
	for _, begin := range quantileTable().begins[2:quantileBins] {
		for k := range uint64(5) {
			hold(math.Float64frombits(math.Float64bits(begin) - 2 + k))
		}
	}
	for _, x := range []float64{0, quantileFloor, math.Nextafter(quantileFloor, 1), 1e12, 1e300} {
		hold(x)
	}
}
