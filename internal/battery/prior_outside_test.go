package battery

import (
	"math"
	"math/rand/v2"
	"testing"

	"voltwright/internal/quantity"
)

// TestTypicalCellOneUnknownAtATime: each unknown, a standard deviation off by itself, changes what it stands for by just that: factors by
// exp(u), amounts by u, as the facts of the chemistry have them; all else stays.
func TestTypicalCellOneUnknownAtATime(t *testing.T) {
	for _, name := range []string{"nmc", "lfp", "lead-acid-agm"} {
		c := chemistry(t, name)
		tp, err := newTypical(c, quantity.Exact(quantity.AmpereHours(8)))
		if err != nil {
			t.Fatal(err)
		}
		cell := func(i int, x float64) *Cell {
			xi := make([]float64, places.n)
			if i >= 0 {
				xi[i] = x
			}
			got, err := tp.cell(xi)
			if err != nil {
				t.Fatal(err)
			}
			return got
		}
		fact := func(name string) Fact { return c.Facts[name] }
		plain := cell(-1, 0)
		base := fact("ohmic").Value / 8
		close1(t, name+": ohmic", plain.Ohmic.At(0.5), base, 1e-12)
		close1(t, name+": branch", plain.Branches[0].Resistance.At(0.5), base*fact("branch-share").Value, 1e-12)
		close1(t, name+": slow", plain.Branches[1].Resistance.At(0.5), base*fact("slow-share").Value, 1e-12)
		close1(t, name+": heat", plain.HeatCapacity, 8*fact("heat-capacity").Value, 1e-12)
		close1(t, name+": cooling", plain.HeatCapacity/plain.Conductance, fact("cooling-time").Value, 1e-12)
		close1(t, name+": entropic", 1+plain.Entropic.At(0.5), 1+fact("entropic").Value, 1e-12)
		close1(t, name+": capacity", float64(plain.Capacity), 8, 1e-12)
		for _, x := range []float64{1, -0.7} {
			close1(t, name+": capacity", float64(cell(places.capacity, x).Capacity), 8*math.Exp(fact("capacity-spread").Value*x), 1e-12)
			close1(t, name+": level", cell(places.ohm, x).Ohmic.At(0.2), base*math.Exp(fact("ohmic").U*x), 1e-12)
			close1(t, name+": branch's level", cell(places.fast, x).Branches[0].Resistance.At(0.2), base*fact("branch-share").Value*math.Exp(fact("branch-share").U*x), 1e-12)
			close1(t, name+": slow's level", cell(places.slow, x).Branches[1].Resistance.At(0.2), base*fact("slow-share").Value*math.Exp(fact("slow-share").U*x), 1e-12)
			close1(t, name+": fast time", float64(cell(places.fastTime, x).Branches[0].Time), fact("branch-time").Value*math.Exp(fact("branch-time").U*x), 1e-12)
			close1(t, name+": slow time", float64(cell(places.slowTime, x).Branches[1].Time), fact("slow-time").Value*math.Exp(fact("slow-time").U*x), 1e-12)
			close1(t, name+": lag", float64(cell(places.lag, x).Lag), fact("lag-time").Value*math.Exp(fact("lag-time").U*x), 1e-12)
			close1(t, name+": E₀", cell(places.energyO, x).ActivationOhmic, max(0, fact("activation-ohmic").Value+fact("activation-ohmic").U*x), 1e-12)
			close1(t, name+": E₁", cell(places.energyB, x).ActivationBranch, max(0, fact("activation-branch").Value+fact("activation-branch").U*x), 1e-12)
			close1(t, name+": E₂", cell(places.energyL, x).ActivationLag, max(0, fact("activation-lag").Value+fact("activation-lag").U*x), 1e-12)
			close1(t, name+": heat", cell(places.heatCapacity, x).HeatCapacity, 8*fact("heat-capacity").Value*math.Exp(fact("heat-capacity").U*x), 1e-12)
			cool := cell(places.coolingTime, x)
			close1(t, name+": cooling", cool.HeatCapacity/cool.Conductance, fact("cooling-time").Value*math.Exp(fact("cooling-time").U*x), 1e-12)
			close1(t, name+": entropic", 1+cell(places.entropic, x).Entropic.At(0.5), 1+fact("entropic").Value+fact("entropic").U*x/2, 1e-12)
			if f, ok := c.Facts["peukert"]; ok {
				p := cell(places.peukert, x).Peukert
				close1(t, name+": exponent", p.Exponent, max(1, f.Value+f.U*x), 1e-12)
				close1(t, name+": rated", float64(p.Rated), 3600*fact("rated-hours").Value, 1e-12)
			}
		}
		stated, err := newTypical(c, quantity.Of[quantity.AmpereHours](8, 0.4))
		if err != nil {
			t.Fatal(err)
		}
		close1(t, name+": a stated uncertainty", stated.capacitySpread(), 0.05, 1e-12)
		// A knot of the curve off by one moves the curve there by its spread, which is that of the voltage and that of the charge times the slope.
		for i, z := range shape.curveAt {
			low, high := max(0, z-fact("ocv-charge-spread").Value), min(1, z+fact("ocv-charge-spread").Value)
			slope := (c.curve.at(high) - c.curve.at(low)) / (high - low)
			close1(t, name+": spread of the curve", tp.spread[i], math.Hypot(fact("ocv-volts-spread").Value, fact("ocv-charge-spread").Value*slope), 1e-12)
		}
	}
	for _, bad := range []quantity.Measured[quantity.AmpereHours]{quantity.Exact(quantity.AmpereHours(0)), quantity.Missing[quantity.AmpereHours]()} {
		if _, err := newTypical(chemistry(t, "nmc"), bad); err == nil {
			t.Errorf("%v is a capacity", bad)
		}
	}
}

// TestShapesAlongTheCharge: the roots of the kernels give them back (Cholesky), each knot has a variance of one, and neighbours go together by
// exp(−d/reach); between knots it goes straight on the scale.
func TestShapesAlongTheCharge(t *testing.T) {
	for _, x := range []struct {
		at    []float64
		reach float64
		entry func(i, j int) float64
	}{{shape.curveAt, curveReach, shape.curveRoot.At}, {shape.ohmAt, ohmReach, shape.ohmRoot.At}, {shape.heatAt, ohmReach, shape.heatRoot.At}} {
		for i := range x.at {
			for j := range x.at {
				sum := 0.0
				for k := range min(i, j) + 1 {
					sum += x.entry(i, k) * x.entry(j, k)
				}
				want := math.Exp(-math.Abs(onScale(x.at[i])-onScale(x.at[j])) / x.reach)
				if math.Abs(sum-want) > 1e-6 {
					t.Fatalf("knots %d and %d: %v, want %v", i, j, sum, want)
				}
			}
		}
	}
	for _, n := range []int{7, 11, 21} {
		at := knots(n)
		var y []float64
		for _, z := range at {
			y = append(y, 3+2*onScale(z))
		}
		for z := 0.0; z <= 1; z += 0.037 {
			if got := between(at, z).of(y); math.Abs(got-3-2*onScale(z)) > 1e-9 {
				t.Errorf("%d knots at %v: %v", n, z, got)
			}
		}
	}
	// A standard deviation of ln R along the charge, in the middle knot: the profile moves by its spread.
	xi := make([]float64, 1+ohmKnots)
	xi[1] = 1
	if got := profile(2, 0.5, 0.3, xi).At(0); math.Abs(got-2*math.Exp(0.3)) > 1e-6 {
		t.Errorf("the first knot is off by %v", got)
	}
	for i, z := range shape.grid {
		if i > 0 && !(z > shape.grid[i-1]) || z < 0 || z > 1 {
			t.Errorf("the grid goes %v, %v", shape.grid[i-1], z)
		}
	}
	if n := len(shape.grid); n != 10+40+11 || shape.grid[n-1] != 1 {
		t.Errorf("%d points to %v", n, shape.grid[n-1])
	}
}

// TestRisingCurve: the nearest curve that does not fall, in squares, is max over a ≤ i of min over b ≥ i of the mean from a to b (Robertson, Wright and
// Dykstra 1988, theorem 1.4.4); by brute force on random curves.
func TestRisingCurve(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 200 {
		y := make([]float64, 1+r.IntN(9))
		for i := range y {
			y[i] = float64(i)/3 + r.NormFloat64()
		}
		want := make([]float64, len(y))
		for i := range y {
			want[i] = math.Inf(-1)
			for a := 0; a <= i; a++ {
				least := math.Inf(1)
				for b := i; b < len(y); b++ {
					sum := 0.0
					for k := a; k <= b; k++ {
						sum += y[k]
					}
					least = min(least, sum/float64(b-a+1))
				}
				want[i] = max(want[i], least)
			}
		}
		got := append([]float64(nil), y...)
		rise(got)
		for i := range got {
			if math.Abs(got[i]-want[i]) > 1e-12 {
				t.Fatalf("%v rises as %v, want %v", y, got, want)
			}
		}
	}
}
