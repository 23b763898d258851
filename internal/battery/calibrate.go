package battery

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

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
	misfit  float64                          // reduced χ² of the logs' voltages; 0: no log

	around func() (*ways, error) // near the values; computed when it is first asked for, as what was seen is
	seen   func() conditions     // by the logs
}

// fixed is the estimate, once it will not be changed any more than by those who make it, before it is asked.
func (e *Estimate) fixed() *Estimate {
	e.around = sync.OnceValues(func() (*ways, error) { return e.typical.waysOf(e.Cell(), e.xi, everyUnknown) })
	e.seen = sync.OnceValue(func() conditions { return e.typical.conditionsOf(e.logs) })
	return e
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
	return (&Estimate{typical: t, xi: make([]float64, places.n), cov: cov, stated: quantity.Missing[quantity.Ohms]()}).fixed(), nil
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
	after := (&Estimate{typical: e.typical, xi: slices.Clone(e.xi), cov: e.cov, logs: e.logs, stated: r}).fixed()
	if len(e.logs) > 0 {
		cal, err := after.Calibrate()
		if err != nil {
			return nil, err
		}
		return cal.After, nil
	}
	f := fit{typical: e.typical, stated: r, doubts: 1}
	free := f.electricUnknowns()
	at := &candidate{xi: after.xi}
	if _, err := f.descend(electric, free, at); err != nil {
		return nil, err
	}
	after.xi = at.xi
	s, err := f.systemAt(electric, free, after.xi)
	if err == nil {
		after.cov, err = s.covariance(free, 1)
	}
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
	Misfit        float64 // reduced χ² of the voltages; where it passes 1 they count for less, by as much
	Steps         int
	AssumedFull   []string // logs that start under load, taken to start full
}

// Calibrate sharpens an estimate by one or more logs, together with those that it
// has seen before. It minimises
//
//	Σ ((V − V_log)/σ)² + Σ ξ²
//
// over the unknowns ξ, which are standard normal before the log, by Levenberg's and
// Marquardt's method (J. J. Moré, Lecture Notes in Mathematics 630 (1978) 105; from
// memory) with tangents that are carried along each log; the covariance is the
// inverse of that matrix. σ holds 5 mV, a part of the charge on the curve's slope
// (0.4 % under load, 1.2 % at rest), and the time between the logger's current and
// voltage; a log counts for 80 rows however many it has. Where the rows fit worse
// than their σ, all σ are made greater until they fit (R. T. Birge, Phys. Rev. 40
// (1932) 207; from memory), so that what is typical keeps its say: runs that
// contradict each other, as of a battery that fades, would else be told apart by a
// curve and a capacity that no cell has. Voltages of a charge do not teach the cell,
// because the curve has no hysteresis; what a charge teaches is a ChargeLesson. Temperatures of the log drive the resistances and
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
	after := (&Estimate{typical: e.typical, xi: slices.Clone(e.xi), logs: slices.Concat(e.logs, logs), stated: e.stated}).fixed()
	f, err := e.typical.fitOf(after.logs, e.stated)
	if err != nil {
		return nil, err
	}
	cal := &Calibration{Before: e, After: after, AssumedFull: f.assumedFull()}
	free := f.electricUnknowns()
	at, rest, err := f.settle(free, e.xi, cal)
	if cal.Misfit > contradict && slices.Contains(free, places.peukert) {
		free = slices.DeleteFunc(free, func(i int) bool { return i == places.peukert })
		at, rest, err = f.settle(free, e.xi, cal)
	}
	if err != nil {
		return nil, err
	}
	after.misfit = cal.Misfit
	return cal, f.learn(after, at.xi, free, rest)
}

// fitOf is the fit of logs.
func (t *typical) fitOf(logs []Log, stated quantity.Measured[quantity.Ohms]) (*fit, error) {
	f := &fit{typical: t, stated: stated, doubts: 1, size: t.counted(logs)}
	for _, l := range logs {
		p, err := prepare(l, t.chemistry, f.size)
		if err != nil {
			return nil, err
		}
		f.logs = append(f.logs, p)
	}
	if !f.loaded() {
		return nil, errors.New("no log holds a discharge: a cell is calibrated on what it gives under load")
	}
	f.weigh()
	return f, nil
}

func (f *fit) assumedFull() (names []string) {
	for _, p := range f.logs {
		if p.fullAssume {
			names = append(names, p.log.Name)
		}
	}
	return names
}

// learn gives an estimate the values that were found, with their covariance, and what the temperatures tell of the warming.
func (f *fit) learn(after *Estimate, xi []float64, free []int, rest float64) error {
	after.xi = xi
	s, err := f.systemAt(electric, free, xi)
	if err != nil {
		return err
	}
	if after.cov, err = s.covariance(free, rest); err != nil || !f.hasTemperatures() {
		return err
	}
	warm := &candidate{xi: xi}
	if _, err := f.descend(thermal, thermalUnknowns(), warm); err != nil {
		return err
	}
	after.xi = warm.xi
	if s, err = f.systemAt(thermal, thermalUnknowns(), warm.xi); err != nil {
		return err
	}
	hot, err := s.covariance(thermalUnknowns(), 1)
	if err != nil {
		return err
	}
	for _, i := range thermalUnknowns() {
		for _, j := range thermalUnknowns() {
			after.cov.SetSym(i, j, hot.At(i, j))
		}
	}
	return nil
}

// Residuals are those on the logs that were used.
func (c *Calibration) Residuals() ([]Residual, error) {
	var out []Residual
	cell := c.After.Cell()
	for _, l := range c.After.logs {
		r, err := Compare(cell, l)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// settle finds the values that fit best, and makes every row less sure until they do. rest is the misfit that is left.
func (f *fit) settle(free []int, from []float64, cal *Calibration) (at *candidate, rest float64, err error) {
	f.doubts = 1
	for range reweighings {
		var s *search
		var steps int
		if s, err = f.begin(free, from); err != nil {
			return nil, 1, err
		}
		if at, steps, err = s.best(); err != nil {
			return nil, 1, err
		}
		cal.Steps += steps
		rest = f.misfit(at.xi)
		cal.Misfit = rest * f.doubts * f.doubts
		if rest <= enoughDoubt {
			return at, rest, nil
		}
		f.doubts *= math.Sqrt(rest)
	}
	return at, 1, nil
}

// reweighings is how often the rows are counted for less where they fit worse
// than their σ. What is typical of the chemistry does not lose by it: runs that
// contradict each other must not outvote the stated capacity.
const (
	reweighings = 4
	enoughDoubt = 1.05 // a misfit with which the search for the weights ends
	contradict  = 4    // a misfit of runs that contradict each other: an exponent of Peukert fitted to them would stand for their fading
)
