package battery

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

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
// capacity of zero or none takes the chemistry's usual spread. A capacity that is not above zero is an error.
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
// A resistance that is not above zero is an error.
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
//
// A log from full to where the cell is run down measures its capacity, whatever
// the label says: the search begins with the stated capacity and with those that
// the counted charge allows, and a label that is off by a factor of three counts
// for no more than 3.3 standard deviations (see label.go). A log that does not come
// down to the knee tells little of it, and the label holds.
func (e *Estimate) Calibrate(logs ...Log) (*Calibration, error) {
	if len(logs) == 0 && len(e.logs) == 0 {
		return nil, errors.New("there is no log to calibrate on")
	}
	for _, l := range logs {
		if err := l.Check(); err != nil {
			return nil, err
		}
	}
	f := fit{typical: e.typical, stated: e.stated, doubts: 1, size: e.typical.counted(slices.Concat(e.logs, logs))}
	after := &Estimate{typical: e.typical, xi: slices.Clone(e.xi), logs: slices.Concat(e.logs, logs), stated: e.stated}
	cal := &Calibration{Before: e, After: after}
	for _, l := range after.logs {
		p, err := prepare(l, e.typical.chemistry, f.size)
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
	rest, err := f.settle(free, cal)
	if cal.Misfit > contradict && slices.Contains(free, places.peukert) {
		free = slices.DeleteFunc(free, func(i int) bool { return i == places.peukert })
		after.xi = slices.Clone(e.xi)
		rest, err = f.settle(free, cal)
	}
	if err != nil {
		return nil, err
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

// settle finds the values that fit best, and makes every row less sure until they do. rest is the misfit that is left.
func (f *fit) settle(free []int, cal *Calibration) (rest float64, err error) {
	first := cal.After.xi
	f.doubt(1 / f.doubts)
	f.doubts = 1
	for range reweighings {
		steps, err := f.search(free, first, cal.After)
		if err != nil {
			return 1, err
		}
		cal.Steps += steps
		rest = f.misfit(cal.After.xi)
		cal.Misfit = rest * f.doubts * f.doubts
		if rest <= enoughDoubt {
			return rest, nil
		}
		f.doubts *= math.Sqrt(rest)
		f.doubt(math.Sqrt(rest))
	}
	return 1, nil
}

// reweighings is how often the rows are counted for less where they fit worse
// than their σ. What is typical of the chemistry does not lose by it: runs that
// contradict each other must not outvote the stated capacity.
const (
	reweighings = 4
	enoughDoubt = 1.05 // a misfit with which the search for the weights ends
	contradict  = 4    // a misfit of runs that contradict each other: an exponent of Peukert fitted to them would stand for their fading
)
