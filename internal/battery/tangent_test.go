package battery

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"voltwright/internal/quantity"
)

// drawnLog is a made-up log of some seconds with loads, stops and a charge; warm says whether it has temperatures.
func drawnLog(random *rand.Rand, c *Chemistry, capacity, seconds float64, warm, rested bool) Log {
	l := NewLog("drawn", 1, nil, nil, nil, nil)
	out, v := 0.0, 0.0
	if rested { // somewhere below full, at rest
		out = 0.2 * capacity
	}
	amps := 0.0
	for t := 0.0; t < seconds && out < 0.9*capacity; t += 20 {
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
// logs with temperatures and without, from full and from a rest, and at values far from what is typical.
func TestTangentsAgainstDifferences(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 28))
	worst := 0.0
	for _, c := range Chemistries() {
		for _, warm := range []bool{true, false} {
			for _, rested := range []bool{false, true} {
				worst = max(worst, tangentsAgainstDifferences(t, random, c, fmt.Sprintf("%s, temperatures %t, from a rest %t", c.Title, warm, rested), drawnLog(random, c, 8, 5400, warm, rested)))
			}
		}
	}
	t.Logf("at most %.2g of the greatest change off", worst)
}

// The same of two short logs that are fitted together, of the chemistry with most unknowns, and with no resistance stated.
func TestTangentsOfShortLogs(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 17))
	c, err := ChemistryNamed("lead-acid-agm")
	if err != nil {
		t.Fatal(err)
	}
	tangentsAgainstDifferences(t, random, c, "short", drawnLog(random, c, 8, 700, false, false), drawnLog(random, c, 8, 400, true, true))
}

// tangentsAgainstDifferences holds the jacobian of logs that are fitted together to the differences, with a resistance stated and
// without, and gives how far they are apart at the most, as a part.
func tangentsAgainstDifferences(t *testing.T, random *rand.Rand, c *Chemistry, name string, logs ...Log) float64 {
	t.Helper()
	const capacity = 8
	e, err := Typical(c, quantity.Exact(quantity.AmpereHours(capacity)))
	if err != nil {
		t.Fatal(err)
	}
	f := fit{typical: e.typical, size: capacity, doubts: 1}
	for _, l := range logs {
		p, err := prepare(l, c, capacity)
		if err != nil {
			t.Fatal(err)
		}
		f.logs = append(f.logs, p)
	}
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
	worst := 0.0
	for _, f.stated = range []quantity.Measured[quantity.Ohms]{quantity.Missing[quantity.Ohms](), quantity.Of[quantity.Ohms](0.02, 0.004)} {
		r, err := f.residuals(electric, free, xi)
		if err != nil {
			t.Fatal(err)
		}
		worst = max(worst, apartAtMost(t, name, f.slopesOf(t, electric, free, xi), f.differences(t, electric, free, xi, r, tangentStep), f.differences(t, electric, free, xi, r, -tangentStep)))
		// What is made of them is the half of the sum of squares, its slope and its bend.
		at, err := f.systemAt(electric, free, xi)
		if err != nil {
			t.Fatal(err)
		}
		var slope mat.VecDense
		slope.MulVec(f.differences(t, electric, free, xi, r, tangentStep).T(), mat.NewVecDense(len(r), r))
		if half := floats.Dot(r, r) / 2; math.Abs(at.value/half-1) > 1e-9 {
			t.Errorf("%s: half the sum of squares is %g, want %g", name, at.value, half)
		}
		for k := range free {
			if math.Abs(at.slope.AtVec(k)-slope.AtVec(k)) > 5e-3*mat.Norm(&slope, math.Inf(1)) {
				t.Errorf("%s, unknown %d: the slope is %g, want %g", name, free[k], at.slope.AtVec(k), slope.AtVec(k))
			}
		}
	}
	if f.hasTemperatures() {
		free := thermalUnknowns()
		r, err := f.residuals(thermal, free, xi)
		if err != nil {
			t.Fatal(err)
		}
		worst = max(worst, apartAtMost(t, name+", temperatures", f.slopesOf(t, thermal, free, xi), f.differences(t, thermal, free, xi, r, tangentStep), f.differences(t, thermal, free, xi, r, -tangentStep)))
	}
	return worst
}

// apartAtMost is how far the rows of tangents are from those of differences to either side, of each unknown as a part of the greatest
// change. Where the sides are apart the curve has a corner, and the tangent may be on any side of it.
func apartAtMost(t *testing.T, name string, j, d, other *mat.Dense) (worst float64) {
	t.Helper()
	rows, columns := j.Dims()
	for k := range columns {
		scale, off, row := 0.0, 0.0, 0
		for n := range rows {
			want := d.At(n, k)
			scale = max(scale, math.Abs(want))
			if d := math.Abs(want-j.At(n, k)) - 2*math.Abs(want-other.At(n, k)); d > off {
				off, row = d, n
			}
		}
		if off > 1e-2*scale+1e-4 {
			t.Errorf("%s, column %d: the tangent is off by %g of %g, in row %d of %d", name, k, off, scale, row, rows)
		}
		worst = max(worst, off/(scale+0.05))
	}
	return worst
}

// A cell that heats in a moment, along two pieces of which the first has no observation: with temperatures of the log these count and
// no other, without them the cell's own. What follow says of two cells apart by little is what slopes has to be.
func TestSlopesOfACellThatHeats(t *testing.T) {
	s := usualSteps()
	s.values["heat capacity"], s.values["conductance"] = [2]float64{0.5}, [2]float64{0.02}
	for _, measured := range []bool{true, false} {
		cells := [2]*Cell{}
		for k := range cells {
			e := s.at(t, 0)
			c := *e.cell
			c.Capacity, c.Reference, c.ActivationOhmic, c.Lag = 8, 25, 2e4*(1+tangentStep*float64(k)), 40
			c.Branches = []Branch{{Profile{0.01}, 18}, {Profile{0.03}, 240}}
			cells[k] = &c
		}
		p := &prepared{measured: measured, startTemp: 20, ambient: 15, drawn: 1, pieces: []stretchOf{{seconds: 30, amps: 8, temp: 22, mark: -1}, {seconds: 30, amps: 4, temp: 24, mark: 0}}, marks: []observation{{amps: 4}}}
		var low, high [1]float64
		p.follow(cells[0], false, low[:], nil)
		p.follow(cells[1], false, high[:], nil)
		told := 0
		base, other := newElement(NewPack(cells[0], 1)), newElement(NewPack(cells[1], 1))
		w := &ways{own: []own{*tangentOf(&base, &other, false, false).own}}
		p.slopes(cells[0], w, electric, func(mark int, value float64, row []float64) {
			told++
			if want := (high[0] - low[0]) / tangentStep; mark != 0 || len(row) != 1 || math.Abs(row[0]-want) > 1e-3*math.Abs(want) || want == 0 || value != low[0] {
				t.Errorf("temperatures %t: observation %d, %g V, goes by %v, want %g V and %g", measured, mark, value, row, low[0], want)
			}
		})
		if told != 1 {
			t.Errorf("%d slopes of one observation", told)
		}
	}
}

// differences are the slopes of residuals by forward differences: each unknown follows every log once more.
func (f *fit) differences(t testing.TB, k kind, free []int, xi, r []float64, step float64) *mat.Dense {
	t.Helper()
	j := mat.NewDense(len(r), len(free), nil)
	at := slices.Clone(xi)
	for n, i := range free {
		at[i] = xi[i] + step
		up, err := f.residuals(k, free, at)
		if err != nil {
			t.Fatal(err)
		}
		at[i] = xi[i]
		for m := range up {
			j.Set(m, n, (up[m]-r[m])/step)
		}
	}
	return j
}

// slopesOf are the same by tangents, without the rows of what is stated and of the unknowns themselves.
func (f *fit) slopesOf(t testing.TB, k kind, free []int, xi []float64) *mat.Dense {
	t.Helper()
	cell, err := f.typical.cell(xi)
	if err != nil {
		t.Fatal(err)
	}
	w, err := f.typical.waysOf(cell, xi, free)
	if err != nil {
		t.Fatal(err)
	}
	rows := 0
	var slopes []float64
	for _, p := range f.logs {
		if k == thermal && !p.measured {
			continue
		}
		p.slopes(cell, w, k, func(mark int, _ float64, row []float64) {
			sure := p.marks[mark].sigma * f.doubts
			if k == thermal {
				sure = p.warmSure()
			}
			for _, v := range row {
				slopes = append(slopes, v/sure)
			}
			rows++
		})
	}
	var out mat.Dense
	out.Mul(mat.NewDense(rows, len(w.own), slopes), w.sums)
	return &out
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
	p, err := prepare(drawnLog(rand.New(rand.NewPCG(1, 1)), c, 8, 5400, false, false), c, 8)
	if err != nil {
		b.Fatal(err)
	}
	f := fit{typical: e.typical, logs: []*prepared{p}, stated: quantity.Missing[quantity.Ohms](), size: 8, doubts: 1}
	f.weigh()
	free, xi := f.electricUnknowns(), make([]float64, places.n)
	r, err := f.residuals(electric, free, xi)
	if err != nil {
		b.Fatal(err)
	}
	for range b.N {
		_ = f.differences(b, electric, free, xi, r, tangentStep)
	}
	floor := b.Elapsed()
	for range b.N {
		_, _ = f.linesAt(electric, free, xi)
	}
	b.ReportMetric(float64(b.Elapsed()-floor)/float64(floor), "of-differences")
}
