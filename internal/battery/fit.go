package battery

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"voltwright/internal/quantity"
)

// fit is one least-squares problem.
type fit struct {
	typical *typical
	logs    []*prepared
	stated  quantity.Measured[quantity.Ohms]
}

// doubt makes every row of the logs less sure.
func (f *fit) doubt(by float64) {
	for _, p := range f.logs {
		for i := range p.marks {
			p.marks[i].sigma *= by
		}
	}
}

// search finds the values that fit best, from each of the starts.
func (f *fit) search(free []int, from []float64, after *Estimate) (steps int, err error) {
	starts, err := f.starts(slices.Clone(from))
	if err != nil {
		return 0, err
	}
	least := math.Inf(1)
	for _, xi := range starts {
		value, n, err := f.minimise(f.electric, free, xi)
		if err != nil {
			return steps, err
		}
		if steps += n; value < least {
			least, after.xi = value, xi
		}
	}
	return steps, nil
}

// electricUnknowns are those that the voltages of the logs can move. Peukert's
// exponent is not: it is fitted to run times, by FitPeukert. The
// activation energies are among them only where the logs were made at unlike
// temperatures: within one run the warmth goes with the charge taken out, and a
// fit would put down to warmth what belongs to charge.
func (f *fit) electricUnknowns() []int {
	var out []int
	for i := range places.heatCapacity {
		if i < places.energyO || i < places.peukert && f.unlikeTemperatures() {
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
		return slices.ContainsFunc(p.marks, func(m observation) bool { return m.amps > 0.02*float64(f.typical.rated.Value) })
	})
}

func (f *fit) hasTemperatures() bool {
	return slices.ContainsFunc(f.logs, func(p *prepared) bool { return p.measured })
}

// starts are where the search for the values begins: with the capacity as it is,
// or raised where a log took out more, since an empty cell's voltage falls so fast
// that the fit would not find its way; and, where a log ran the cell down and much
// is left by that capacity, also with the one by which it ends nearly empty. The
// curve and the resistance can put the knee of a discharge at more than one charge.
func (f *fit) starts(xi []float64) ([][]float64, error) {
	first := slices.Clone(xi)
	lowest := 1.0
	for range 3 {
		cell, err := f.typical.cell(first)
		if err != nil {
			return nil, err
		}
		lowest = 1.0
		for _, p := range f.logs {
			p.follow(cell, false, make([]float64, len(p.marks)), nil)
			if p.lowest < 0.01 || p.ranDown(f.typical.chemistry) {
				lowest = min(lowest, p.lowest)
			}
		}
		if lowest > 0.01 {
			break
		}
		first[places.capacity] += math.Log((1-lowest)/0.98) / f.typical.capacitySpread()
	}
	if lowest < 0.05 || lowest > 0.6 {
		return [][]float64{first}, nil
	}
	second := slices.Clone(first)
	second[places.capacity] += math.Log((1-lowest)/0.98) / f.typical.capacitySpread()
	return [][]float64{first, second}, nil
}

// ranDown tells whether the cell came below its conservative floor in the log.
func (p *prepared) ranDown(c *Chemistry) bool {
	return slices.ContainsFunc(p.marks, func(m observation) bool { return m.volts < float64(c.ConservativeFloor()) })
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
			if !m.first && math.Abs(m.amps) < 0.02*float64(f.typical.rated.Value) {
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

// jacobian is the change of the residuals with each free unknown, by forward differences.
func (f *fit) jacobian(data func(*Cell, []float64) []float64, free []int, xi, r []float64) (*mat.Dense, error) {
	const h = 1e-4
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
		var e error
		if j, e = f.jacobian(data, free, put(x), r); e != nil {
			fault = e
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
			slopes(x)
			g := mat.NewVecDense(len(grad), grad)
			g.MulVec(j.T(), mat.NewVecDense(len(r), r))
		},
		Hess: func(hess *mat.SymDense, x []float64) {
			slopes(x)
			hess.SymOuterK(1, j.T())
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
