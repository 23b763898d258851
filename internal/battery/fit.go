package battery

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"voltwright/internal/quantity"
)

// fit is one least-squares problem.
type fit struct {
	typical *typical
	logs    []*prepared
	stated  quantity.Measured[quantity.Ohms]
	size    float64 // Ah, by which a load is told from a rest
	doubts  float64 // by which every row has been made less sure
}

// doubt makes every row of the logs less sure.
func (f *fit) doubt(by float64) {
	for _, p := range f.logs {
		for i := range p.marks {
			p.marks[i].sigma *= by
		}
	}
}

// search finds the values that fit best, from the capacity as it is and, where
// another promises better, the fit stays poor or the label would be a false one,
// from that as well.
func (f *fit) search(free []int, from []float64, after *Estimate) (steps int, err error) {
	first, second, err := f.starts(free, slices.Clone(from))
	if err != nil {
		return 0, err
	}
	better := false
	if second != nil {
		if better, err = f.promises(free, first, second); err != nil {
			return 0, err
		}
	}
	least, steps, err := f.minimise(f.electric, free, first)
	if err != nil {
		return steps, err
	}
	after.xi = first
	if second != nil && (better || f.misfit(first) > enoughDoubt || math.Abs(second[places.capacity]) > labelHolds) {
		value, more, err := f.minimise(f.electric, free, second)
		if err != nil {
			return steps, err
		}
		if steps += more; value < least-f.decisive() {
			after.xi = second
		}
	}
	return steps, nil
}

// electricUnknowns are those that the voltages of the logs can move; Peukert's
// exponent is among them for lead-acid. The activation energies are only where
// the logs were made at unlike temperatures: within one run the warmth goes with
// the charge taken out, and a fit would put down to warmth what belongs to charge.
func (f *fit) electricUnknowns() []int {
	var out []int
	for i := range places.heatCapacity {
		switch {
		case i < places.energyO, i < places.peukert && f.unlikeTemperatures(), i == places.peukert && f.typical.peukert():
			out = append(out, i)
		}
	}
	return out
}

const unlikeBy = 10 // K between the starts of logs

func (f *fit) unlikeTemperatures() bool {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range f.logs {
		low, high = min(low, p.startTemp), max(high, p.startTemp)
	}
	return high-low >= unlikeBy
}

func thermalUnknowns() []int {
	var out []int
	for i := places.heatCapacity; i < places.n; i++ {
		out = append(out, i)
	}
	return out
}

// loaded tells whether any log has a row under load.
func (f *fit) loaded() bool {
	return slices.ContainsFunc(f.logs, func(p *prepared) bool {
		return slices.ContainsFunc(p.marks, func(m observation) bool { return m.amps > 0.02*f.size })
	})
}

func (f *fit) hasTemperatures() bool {
	return slices.ContainsFunc(f.logs, func(p *prepared) bool { return p.measured })
}

// decisive is by how much half the sum of squares must be less for a capacity far
// from the stated one: by any amount where a log ran the cell down.
func (f *fit) decisive() float64 {
	floor := quantity.Volts(nearFloor) * f.typical.chemistry.ConservativeFloor()
	for _, p := range f.logs {
		if slices.ContainsFunc(p.marks, func(m observation) bool { return m.volts < float64(floor) }) {
			return 0
		}
	}
	return betterBy
}

// starts are where the search for the values begins: with the capacity as it is,
// or raised where a log took out more, since an empty cell's voltage falls so fast
// that the fit would not find its way; and with the one by which the longest log
// from full would have ended nearly empty or somewhat before, whichever comes
// nearest to the voltages by itself, since the curve and the resistance can put the knee of a
// discharge at more than one charge. second is nil where that is the same.
func (f *fit) starts(free []int, xi []float64) (first, second []float64, err error) {
	first = slices.Clone(xi)
	cell, out, err := f.drawn(first)
	for n := 0; n < 3 && err == nil && out > 0.99*float64(cell.Capacity); n++ {
		first[places.capacity] = f.typical.unknownOf(out / 0.98)
		cell, out, err = f.drawn(first)
	}
	if err != nil || out == 0 {
		return first, nil, err
	}
	r, err := f.residuals(f.electric, free, first, nil)
	if err != nil {
		return nil, nil, err
	}
	least, nearest := math.Inf(1), floats.Dot(r, r)
	for _, left := range endsLeft {
		q := out / (1 - left)
		if math.Abs(math.Log(q/float64(cell.Capacity))) < sameStart {
			continue
		}
		at := slices.Clone(first)
		at[places.capacity] = f.typical.unknownOf(q)
		r, err := f.residuals(f.electric, free, at, nil)
		if err != nil {
			return nil, nil, err
		}
		// More than is stated must come nearer by itself; of less, where the curve ends is seen.
		if sum := floats.Dot(r, r); sum < least && (sum < nearest || q < float64(cell.Capacity)) {
			least, second = sum, at
		}
	}
	return first, second, nil
}

// promises says whether one step of Gauss and Newton would lead further down from b than from a.
func (f *fit) promises(free []int, a, b []float64) (bool, error) {
	stays, err := f.promise(free, a)
	if err != nil {
		return false, err
	}
	moves, err := f.promise(free, b)
	return moves < stays, err
}

// What may be left in a cell at the end of a log, for the capacities that the search starts with beside the stated one;
// how near to another a start is the same; and by how much half the sum of squares must be less where no log ran the cell
// down to its floor, since such logs tell little of the capacity: odds of e⁵. Our own choice; no source.
var endsLeft = []float64{0.02, 0.1, 0.2, 0.35, 0.5, 0.65}

const (
	sameStart = 0.1
	betterBy  = 5
)

// drawn is the cell of the unknowns, and the most charge that a log from full has
// taken out of it, Ah, as the cell counts it; 0: no log began full.
func (f *fit) drawn(xi []float64) (*Cell, float64, error) {
	cell, err := f.typical.cell(xi)
	if err != nil {
		return nil, 0, err
	}
	most := 0.0
	for _, p := range f.logs {
		if !math.IsNaN(p.drawn) {
			p.follow(cell, false, make([]float64, len(p.marks)), nil)
			most = max(most, (1-p.lowest)*float64(cell.Capacity))
		}
	}
	return cell, most, nil
}

// promise is half the sum of squares that one step of Gauss and Newton from xi would come to, were the residuals straight.
func (f *fit) promise(free []int, xi []float64) (float64, error) {
	r, err := f.residuals(f.electric, free, xi, nil)
	if err != nil {
		return 0, err
	}
	j, err := f.jacobian(f.electric, free, xi, r)
	if err != nil {
		return 0, err
	}
	var hess mat.SymDense
	hess.SymOuterK(1, j.T())
	var c mat.Cholesky
	rr := mat.NewVecDense(len(r), r)
	if !c.Factorize(&hess) {
		return math.Inf(1), nil
	}
	b, d := mat.NewVecDense(len(free), nil), mat.NewVecDense(len(free), nil)
	b.MulVec(j.T(), rr)
	if err := c.SolveVecTo(d, b); err != nil {
		return math.Inf(1), nil
	}
	return (mat.Dot(rr, rr) - mat.Dot(b, d)) / 2, nil
}

// weigh settles the standard deviation of every observation.
func (f *fit) weigh() {
	c := f.typical.chemistry.curve
	for _, p := range f.logs {
		share := math.Sqrt(max(1, float64(p.counted())/worthMarks))
		for i := range p.marks {
			m := &p.marks[i]
			if m.charging {
				m.sigma = math.Inf(1)
				continue
			}
			z, _ := c.Charge(quantity.Volts(m.volts))
			lag := modelCharge
			if !m.first && math.Abs(m.amps) < 0.02*f.size {
				lag = restCharge
			}
			sigma := math.Hypot(math.Hypot(modelVolts, lag*c.Slope(z)), m.sigma)
			m.sigma = sigma * share
		}
	}
}

// electric appends the residuals of the voltages.
func (f *fit) electric(cell *Cell, out []float64) []float64 {
	for _, p := range f.logs {
		volts := make([]float64, len(p.marks))
		p.follow(cell, false, volts, nil)
		for i, m := range p.marks {
			out = append(out, (volts[i]-m.volts)/m.sigma)
		}
	}
	if f.stated.Known() {
		r := cell.ResistanceAt(0.5, cell.Reference, statedAfter)
		out = append(out, math.Log(float64(r/f.stated.Value))/float64(f.stated.U/f.stated.Value))
	}
	return out
}

// thermal appends the residuals of the temperatures.
func (f *fit) thermal(cell *Cell, out []float64) []float64 {
	for _, p := range f.logs {
		if !p.measured {
			continue
		}
		volts, temps := make([]float64, len(p.marks)), make([]float64, len(p.marks))
		p.follow(cell, true, volts, temps)
		share := math.Sqrt(max(1, float64(len(p.marks))/worthMarks))
		for i, m := range p.marks {
			out = append(out, (temps[i]-m.temp)/(modelTemp*share))
		}
	}
	return out
}

// residuals are those of the data and then the free unknowns, which are standard normal before the logs.
func (f *fit) residuals(data func(*Cell, []float64) []float64, free []int, xi []float64, out []float64) ([]float64, error) {
	cell, err := f.typical.cell(xi)
	if err != nil {
		return nil, err
	}
	out = data(cell, out)
	for _, i := range free {
		out = append(out, xi[i])
	}
	return out, nil
}

// jacobian is the change of the residuals with each free unknown: of the voltages by their tangents, of the temperatures,
// which few unknowns move, by forward differences.
func (f *fit) jacobian(data func(*Cell, []float64) []float64, free []int, xi, r []float64) (*mat.Dense, error) {
	if free[0] < places.heatCapacity {
		return f.slopes(free, xi, len(r))
	}
	return f.differences(data, free, xi, r)
}

// differences are a jacobian by forward differences.
func (f *fit) differences(data func(*Cell, []float64) []float64, free []int, xi, r []float64) (*mat.Dense, error) {
	const h = tangentStep
	j := mat.NewDense(len(r), len(free), nil)
	at := slices.Clone(xi)
	buf := make([]float64, 0, len(r))
	for k, i := range free {
		at[i] = xi[i] + h
		up, err := f.residuals(data, free, at, buf[:0])
		if err != nil {
			return nil, err
		}
		at[i] = xi[i]
		for n := range up {
			j.Set(n, k, (up[n]-r[n])/h)
		}
	}
	return j, nil
}

// minimise changes the free unknowns of xi to where half the sum of squares, its value, is least.
func (f *fit) minimise(data func(*Cell, []float64) []float64, free []int, xi []float64) (value float64, steps int, err error) {
	var fault error
	var at, r []float64
	var j *mat.Dense
	put := func(x []float64) []float64 {
		full := slices.Clone(xi)
		for k, i := range free {
			full[i] = x[k]
		}
		return full
	}
	residuals := func(x []float64) []float64 {
		out, e := f.residuals(data, free, put(x), nil)
		if e != nil {
			fault = e
		}
		return out
	}
	slopes := func(x []float64) {
		if at != nil && slices.Equal(at, x) {
			return
		}
		at, r = slices.Clone(x), residuals(x)
		if fault != nil {
			return
		}
		if j, fault = f.jacobian(data, free, put(x), r); fault != nil {
			j = nil
		}
	}
	problem := optimize.Problem{
		Func: func(x []float64) float64 {
			var sum float64
			for _, v := range residuals(x) {
				sum += v * v
			}
			if fault != nil || math.IsNaN(sum) {
				return math.Inf(1)
			}
			return sum / 2
		},
		Grad: func(grad, x []float64) {
			if slopes(x); j == nil { // there is a fault, which is told at the end
				return
			}
			g := mat.NewVecDense(len(grad), grad)
			g.MulVec(j.T(), mat.NewVecDense(len(r), r))
		},
		Hess: func(hess *mat.SymDense, x []float64) {
			if slopes(x); j != nil {
				hess.SymOuterK(1, j.T())
			}
		},
	}
	start := make([]float64, len(free))
	for k, i := range free {
		start[k] = xi[i]
	}
	result, err := optimize.Minimize(problem, start, &optimize.Settings{
		MajorIterations:   40,
		Converger:         &optimize.FunctionConverge{Absolute: 1e-2, Relative: 1e-5, Iterations: 2},
		GradientThreshold: 1e-2,
	}, &optimize.Newton{})
	if fault != nil {
		return 0, 0, fault
	}
	if result == nil {
		return 0, 0, err
	}
	// A line search that finds nothing better ends the search where it stands:
	// the slopes are differences and have a floor.
	copy(xi, put(result.X))
	return result.F, result.MajorIterations, nil
}

// misfit is the sum of squares of the voltages over their weight in rows.
func (f *fit) misfit(xi []float64) float64 {
	cell, err := f.typical.cell(xi)
	if err != nil {
		return math.NaN()
	}
	var sum, weight float64
	for _, v := range f.electric(cell, nil) {
		sum += v * v
	}
	for _, p := range f.logs {
		weight += math.Min(worthMarks, float64(p.counted()))
	}
	return sum / weight
}

// covariance of all unknowns: the inverse of the Gauss–Newton matrix, the data
// counted for less where they still fit worse than their σ. Unknowns that are not free keep theirs.
func (f *fit) covariance(data func(*Cell, []float64) []float64, free []int, xi []float64, misfit float64) (*mat.SymDense, error) {
	r, err := f.residuals(data, free, xi, nil)
	if err != nil {
		return nil, err
	}
	j, err := f.jacobian(data, free, xi, r)
	if err != nil {
		return nil, err
	}
	rows, _ := j.Dims()
	scale := 1 / math.Sqrt(max(1, misfit))
	for i := range rows - len(free) {
		for k := range free {
			j.Set(i, k, j.At(i, k)*scale)
		}
	}
	var hess mat.SymDense
	hess.SymOuterK(1, j.T())
	var c mat.Cholesky
	if !c.Factorize(&hess) {
		return nil, errors.New("the logs and what is typical do not fix the values of the cell")
	}
	var inverse mat.SymDense
	if err := c.InverseTo(&inverse); err != nil {
		return nil, fmt.Errorf("the covariance cannot be had: %w", err)
	}
	out := mat.NewSymDense(places.n, nil)
	for i := range places.n {
		out.SetSym(i, i, 1)
	}
	for a, i := range free {
		for b, k := range free {
			out.SetSym(i, k, inverse.At(a, b))
		}
	}
	return out, nil
}
