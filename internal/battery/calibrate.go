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

// Estimate is what is known of a cell: the values that are most likely and how
// sure they are. It starts as what is typical and is sharpened by logs.
type Estimate struct {
	typical *typical
	xi      []float64                        // the unknowns, standard normal at first
	cov     *mat.SymDense                    // their covariance
	logs    []Log                            // that it has seen
	stated  quantity.Measured[quantity.Ohms] // resistance of a cell; missing: none
}

// Logs are the names of the logs that the estimate has seen.
func (e *Estimate) Logs() []string {
	var names []string
	for _, l := range e.logs {
		names = append(names, l.Name)
	}
	return names
}

// Typical is what is known of a cell, or of a parallel group of cells taken as
// one, from its chemistry and its stated capacity alone. An uncertainty of the
// capacity of zero or none takes the chemistry's usual spread.
func Typical(c *Chemistry, capacity quantity.Measured[quantity.AmpereHours]) (*Estimate, error) {
	t, err := newTypical(c, capacity)
	if err != nil {
		return nil, err
	}
	cov := mat.NewSymDense(places.n, nil)
	for i := range places.n {
		cov.SetSym(i, i, 1)
	}
	return &Estimate{typical: t, xi: make([]float64, places.n), cov: cov, stated: quantity.Missing[quantity.Ohms]()}, nil
}

// How a stated resistance is taken: as that of a cell half charged, at 25 °C,
// after a load of a few seconds, which is what a maker with a meter and a load
// sees; with a fifth of uncertainty where none is stated.
const (
	statedAfter  = 10 // s
	statedSpread = 0.2
)

// WithResistance adds to an estimate the resistance that is stated for a cell, or
// for a parallel group taken as one: of a pack, its resistance over its cells in series.
func (e *Estimate) WithResistance(r quantity.Measured[quantity.Ohms]) (*Estimate, error) {
	if !r.Known() || r.Value <= 0 {
		return nil, fmt.Errorf("a resistance of %g Ω says nothing of a cell", float64(r.Value))
	}
	if !(r.U > 0) {
		r.U = statedSpread * r.Value
	}
	after := &Estimate{typical: e.typical, xi: slices.Clone(e.xi), cov: e.cov, logs: e.logs, stated: r}
	f := fit{typical: e.typical, stated: r}
	if len(e.logs) > 0 {
		cal, err := after.Calibrate()
		if err != nil {
			return nil, err
		}
		return cal.After, nil
	}
	if _, _, err := f.minimise(f.electric, f.electricUnknowns(), after.xi); err != nil {
		return nil, err
	}
	cov, err := f.covariance(f.electric, f.electricUnknowns(), after.xi, 1)
	after.cov = cov
	return after, err
}

// Cell is the cell with the most likely values.
func (e *Estimate) Cell() *Cell {
	c, err := e.typical.cell(e.xi)
	if err != nil {
		panic(err) // the same values made a cell before
	}
	return c
}

// How far a model of this kind is off even with the best values. One set serves
// every cell; it was settled with the published logs of the tests in view, as were
// the typical activation energies, so runs of other cells are the fairer trial.
const (
	modelVolts  = 0.005 // V of a cell
	modelCharge = 0.002 // of the state of charge, times the slope of the curve
	restCharge  = 0.012 // the same at rest: the rebound has a tail of hours that one lag does not follow
	chargeVolts = 0.1   // more while charging: the curve has no hysteresis
	modelTemp   = 0.7   // K
	worthMarks  = 80    // what a log counts for: neighbouring rows err alike
)

// Calibration is what Calibrate found.
type Calibration struct {
	Before, After *Estimate
	Residuals     []Residual // on the logs that were used
	Misfit        float64    // reduced χ² of the voltages; where it passes 1 they count for less, by as much
	Steps         int
	AssumedFull   []string // logs that start under load, taken to start full
}

// Calibrate sharpens an estimate by one or more logs, together with those that it
// has seen before. It minimises
//
//	Σ ((V − V_log)/σ)² + Σ ξ²
//
// over the unknowns ξ, which are standard normal before the log, by Newton's
// method with the Gauss–Newton matrix (gonum optimize); the covariance is the
// inverse of that matrix. σ holds 5 mV, a part of the charge on the curve's slope
// (0.4 % under load, 1.2 % at rest), and the time between the logger's current and
// voltage; a log counts for 80 rows however many it has. Where the rows fit worse
// than their σ, all σ are made greater until they fit (R. T. Birge, Phys. Rev. 40
// (1932) 207; from memory), so that what is typical keeps its say: runs that
// contradict each other, as of a battery that fades, would else be told apart by a
// curve and a capacity that no cell has. Voltages of a charge are not used, because
// the curve has no hysteresis. Temperatures of the log drive the resistances and
// then fix heat capacity and cooling.
//
// The same procedure and the same constants serve every log and chemistry.
// Logs of packs in series are taken cell by cell.
func (e *Estimate) Calibrate(logs ...Log) (*Calibration, error) {
	if len(logs) == 0 && len(e.logs) == 0 {
		return nil, errors.New("there is no log to calibrate on")
	}
	f := fit{typical: e.typical, stated: e.stated}
	after := &Estimate{typical: e.typical, xi: slices.Clone(e.xi), logs: slices.Concat(e.logs, logs), stated: e.stated}
	cal := &Calibration{Before: e, After: after}
	for _, l := range after.logs {
		p, err := prepare(l, e.typical.chemistry, float64(e.typical.rated.Value))
		if err != nil {
			return nil, err
		}
		f.logs = append(f.logs, p)
		if p.fullAssume {
			cal.AssumedFull = append(cal.AssumedFull, l.Name)
		}
	}
	if !f.loaded() {
		return nil, errors.New("no log holds a discharge: a cell is calibrated on what it gives under load")
	}
	f.weigh()
	free := f.electricUnknowns()
	first := after.xi
	scale, rest := 1.0, 1.0
	for range reweighings {
		steps, err := f.search(free, first, after)
		if err != nil {
			return nil, err
		}
		cal.Steps += steps
		rest = f.misfit(after.xi)
		cal.Misfit = rest * scale * scale
		if rest <= enoughDoubt {
			break
		}
		scale *= math.Sqrt(rest)
		f.doubt(math.Sqrt(rest))
		rest = 1
	}
	cov, err := f.covariance(f.electric, free, after.xi, rest)
	if err != nil {
		return nil, err
	}
	after.cov = cov
	if f.hasTemperatures() {
		if _, _, err := f.minimise(f.thermal, thermalUnknowns(), after.xi); err != nil {
			return nil, err
		}
		hot, err := f.covariance(f.thermal, thermalUnknowns(), after.xi, 1)
		if err != nil {
			return nil, err
		}
		for _, i := range thermalUnknowns() {
			for _, j := range thermalUnknowns() {
				after.cov.SetSym(i, j, hot.At(i, j))
			}
		}
	}
	cell := after.Cell()
	for _, l := range after.logs {
		r, err := Compare(cell, l)
		if err != nil {
			return nil, err
		}
		cal.Residuals = append(cal.Residuals, r)
	}
	return cal, nil
}

// reweighings is how often the rows are counted for less where they fit worse
// than their σ. What is typical of the chemistry does not lose by it: runs that
// contradict each other must not outvote the stated capacity.
const (
	reweighings = 4
	enoughDoubt = 1.05 // a misfit with which the search for the weights ends
)

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

// fit is one least-squares problem.
type fit struct {
	typical *typical
	logs    []*prepared
	stated  quantity.Measured[quantity.Ohms]
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
