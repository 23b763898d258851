package battery

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"voltwright/internal/quantity"
)

// drawnLog is a made-up log with loads, stops and a charge; warm says whether it has temperatures.
func drawnLog(random *rand.Rand, c *Chemistry, capacity float64, warm, rested bool) Log {
	l := NewLog("drawn", 1, nil, nil, nil, nil)
	out, v := 0.0, 0.0
	if rested { // somewhere below full, at rest
		out = 0.2 * capacity
	}
	amps := 0.0
	for t := 0.0; t < 5400 && out < 0.9*capacity; t += 20 {
		switch {
		case math.Mod(t, 900) == 600:
			amps = 0
		case math.Mod(t, 300) == 0 && t > 0:
			amps = capacity * (0.2 + 1.2*random.Float64())
			if random.IntN(5) == 0 {
				amps *= -0.3
			}
		}
		out += amps * 20 / 3600
		v = c.curve.at(1-out/capacity) - 0.03*amps/capacity
		l.Time, l.Amperes, l.Volts = append(l.Time, t), append(l.Amperes, amps), append(l.Volts, v)
		if warm {
			l.Celsius = append(l.Celsius, 12+t/400)
		}
	}
	l.Ambient = quantity.Exact(quantity.Celsius(12))
	return l
}

// The tangents against differences of the voltages themselves, which follow the whole log once for each unknown: every chemistry,
// logs with temperatures and without, from full and from a rest, and at values far from what is typical. Where the curve has a
// corner both see the same side of it.
func TestTangentsAgainstDifferences(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 28))
	worst := 0.0
	for _, c := range Chemistries() {
		name := c.Title
		for _, warm := range []bool{true, false} {
			for _, rested := range []bool{false, true} {
				const capacity = 8
				e, err := Typical(c, quantity.Exact(quantity.AmpereHours(capacity)))
				if err != nil {
					t.Fatal(err)
				}
				p, err := prepare(drawnLog(random, c, capacity, warm, rested), c, capacity)
				if err != nil {
					t.Fatal(err)
				}
				f := fit{typical: e.typical, logs: []*prepared{p}, stated: quantity.Measured[quantity.Ohms]{Value: 0.02, U: 0.004}, size: capacity, doubts: 1}
				f.weigh()
				xi := make([]float64, places.n)
				for i := range places.heatCapacity {
					xi[i] = 0.4 * random.NormFloat64()
				}
				var free []int
				for i := range places.heatCapacity {
					if i != places.peukert || e.typical.peukert() {
						free = append(free, i)
					}
				}
				r, err := f.residuals(f.electric, free, xi, nil)
				if err != nil {
					t.Fatal(err)
				}
				j, err := f.jacobian(f.electric, free, xi, r)
				if err != nil {
					t.Fatal(err)
				}
				d, err := f.differences(f.electric, free, xi, r)
				if err != nil {
					t.Fatal(err)
				}
				for k, i := range free {
					scale, off, row := 0.0, 0.0, 0
					for n := range r {
						want := d.At(n, k)
						scale = max(scale, math.Abs(want))
						if d := math.Abs(want - j.At(n, k)); d > off {
							off, row = d, n
						}
					}
					if off > 2e-3*scale+1e-4 {
						t.Errorf("%s, temperatures %t, from a rest %t, unknown %d: the tangent is off by %g of %g, in row %d of %d", name, warm, rested, i, off, scale, row, len(r))
					}
					worst = max(worst, off/(scale+0.05))
				}
			}
		}
	}
	t.Logf("at most %.2g of the greatest change off", worst)
}

// BenchmarkJacobian states how long the tangents take as a ratio to forward differences of the same fit.
func BenchmarkJacobian(b *testing.B) {
	c, err := ChemistryNamed("lfp")
	if err != nil {
		b.Fatal(err)
	}
	e, err := Typical(c, quantity.Exact(quantity.AmpereHours(8)))
	if err != nil {
		b.Fatal(err)
	}
	p, err := prepare(drawnLog(rand.New(rand.NewPCG(1, 1)), c, 8, false, false), c, 8)
	if err != nil {
		b.Fatal(err)
	}
	f := fit{typical: e.typical, logs: []*prepared{p}, stated: quantity.Missing[quantity.Ohms](), size: 8, doubts: 1}
	f.weigh()
	free, xi := f.electricUnknowns(), make([]float64, places.n)
	r, err := f.residuals(f.electric, free, xi, nil)
	if err != nil {
		b.Fatal(err)
	}
	for range b.N {
		_, _ = f.differences(f.electric, free, xi, r)
	}
	floor := b.Elapsed()
	for range b.N {
		_, _ = f.jacobian(f.electric, free, xi, r)
	}
	b.ReportMetric(float64(b.Elapsed()-floor)/float64(floor), "of-differences")
}

// A cell of which one unknown was moved is the one that all unknowns make.
func TestMovedCells(t *testing.T) {
	for _, c := range Chemistries() {
		e, err := Typical(c, quantity.Exact(quantity.AmpereHours(8)))
		if err != nil {
			t.Fatal(err)
		}
		base, xi := e.Cell(), make([]float64, places.n)
		for i := range xi {
			xi[i] = 0.3
			got, err := e.typical.moved(base, xi, i)
			if err != nil {
				t.Fatal(err)
			}
			want, err := e.typical.cell(xi)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got, want) {
				t.Errorf("%s: unknown %d", c.Title, i)
			}
			xi[i] = 0
		}
	}
}
