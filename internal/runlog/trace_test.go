package runlog

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestTraceKeepsEverythingWhileItIsShort(t *testing.T) {
	var h thinner
	for k := range MaxTracePoints {
		h.add(float64(k), float64(k*k))
	}
	if tr := h.trace(Voltage); len(tr.T) != MaxTracePoints || tr.Y[7] != 49 {
		t.Errorf("%d points", len(tr.T))
	}
}

func TestTraceKeepsExtremesAndEnds(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 9))
	for round := range 60 {
		n := 1 + random.IntN(40_000)
		var h thinner
		x := random.Float64() * 1000
		firstT, firstY, lastT, lastY := 0.0, 0.0, 0.0, 0.0
		low, high := math.Inf(1), math.Inf(-1)
		for k := range n {
			y := random.NormFloat64()
			if k == 0 {
				firstT, firstY = x, y
			}
			lastT, lastY = x, y
			low, high = math.Min(low, y), math.Max(high, y)
			h.add(x, y)
			switch random.IntN(20) {
			case 0: // a repeated time
			case 1:
				x += 1000 * random.Float64()
			default:
				x += random.Float64()
			}
		}
		tr := h.trace(Current)
		if len(tr.T) > MaxTracePoints || len(tr.T) != len(tr.Y) {
			t.Fatalf("round %d: %d points of %d", round, len(tr.T), n)
		}
		if n > 2000 && len(tr.T) < 30 {
			t.Errorf("round %d: only %d points of %d are left", round, len(tr.T), n)
		}
		if !slices.IsSorted(tr.T) {
			t.Fatalf("round %d: times go back", round)
		}
		end := len(tr.T) - 1
		if tr.T[0] != firstT || tr.Y[0] != firstY || tr.T[end] != lastT || tr.Y[end] != lastY {
			t.Errorf("round %d: an end is lost", round)
		}
		if slices.Min(tr.Y) != low || slices.Max(tr.Y) != high {
			t.Errorf("round %d: an extreme is lost", round)
		}
	}
}

func TestTraceOfOneTime(t *testing.T) {
	var h thinner
	for k := range 5000 {
		h.add(3, float64(k%7))
	}
	if tr := h.trace(Voltage); len(tr.T) == 0 || len(tr.T) > MaxTracePoints {
		t.Errorf("%d points", len(tr.T))
	}
}

func TestDecimatorIsBoundedAndEven(t *testing.T) {
	var d decimator
	for k := range 100_000 {
		d.add(float64(k), 1)
	}
	if len(d.x) > fitPoints || len(d.x) < fitPoints/4 {
		t.Fatalf("%d points", len(d.x))
	}
	for k := 1; k < len(d.x); k++ {
		if d.x[k]-d.x[k-1] != float64(d.every) {
			t.Fatalf("uneven at %d", k)
		}
	}
}
