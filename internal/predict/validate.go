package predict

import (
	"fmt"
	"math"
	"slices"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// Validation is a run's prediction by an estimate that did not see the run: its
// measured current replayed, and how long until the voltage is what the run
// ended at.
type Validation struct {
	Run, Name    string
	CalibratedOn []string // the runs that the estimate had seen; none: what is typical

	Measured  quantity.Seconds                    // running, from the first load to the last loaded voltage
	Predicted quantity.Measured[quantity.Seconds] // the same; missing where Why says so
	Ended     quantity.Volts                      // that voltage, of the pack
	Why       string                              // why there is no running time to compare, "" where there is
	Voltage   quantity.Volts                      // root mean square of predicted less measured, of one cell, over the usable part
	Left      float64                             // part of the capacity that the run left in, 0 to 1

	Checks []LevelCheck // at each voltage that answers are given for and that the run reached; the answer's own first

	Start          quantity.Seconds // of the log's own clock: where the traces begin
	MeasuredTrace  Trace
	PredictedTrace Trace
}

// Trace is a line for a chart: seconds since Start, and volts of the pack.
type Trace struct{ T, V []float64 }

// TracePoints is the most points that a Trace has.
const TracePoints = 300

// TimeError is (predicted − measured)/measured, a ratio; NaN where there is none.
func (c Validation) TimeError() float64 {
	return float64(c.Predicted.Value/c.Measured) - 1
}

const (
	deepEnough      = 0.5 // of the capacity: a run that took less out has no end to time
	mostValidations = 12  // runs that are predicted: the teachers and the newest others
)

// validations predicts each run that can teach by what the others teach. The runs that
// the calibration has seen are left out of it one at a time.
func validations(k, plain *known, all []CalibrationRun) []Validation {
	var by []*calibrationLog
	var left *battery.LeftOut
	if len(k.estimates) == 1 {
		left = battery.LeavingOut(plain.estimates[0], k.estimates[0])
	}
	spare := mostValidations
	for _, l := range all {
		if l.Taught {
			by = append(by, l.log)
			spare--
		}
	}
	skip := -spare // of the oldest others
	for _, l := range all {
		if l.log != nil && !l.Taught {
			skip++
		}
	}
	var out []Validation
	for i := range all {
		l := all[i].log
		if l == nil {
			continue
		}
		if !all[i].Taught {
			if skip--; skip >= 0 {
				all[i].Why += fmt.Sprintf(" Not predicted: of many runs the newest %d are.", mostValidations)
				continue
			}
		}
		var others []*calibrationLog
		for _, o := range by {
			if o != l {
				others = append(others, o)
			}
		}
		var c Validation
		if err := k.keep.step("check "+l.run.ID, &c, func() (err error) {
			without := k
			if len(others) < len(by) {
				if without, err = k.without(l, left); err != nil {
					without, others = plain, nil
				}
			}
			c, err = validate(without, l)
			for _, o := range others {
				c.CalibratedOn = append(c.CalibratedOn, o.run.ID)
			}
			return err
		}); err != nil {
			continue
		}
		all[i].Checked = true
		out = append(out, c)
	}
	return out
}

// without is the bank calibrated on the runs that taught but one.
func (k *known) without(l *calibrationLog, left *battery.LeftOut) (*known, error) {
	place := slices.Index(k.estimates[0].Logs(), l.log.Name)
	cal, err := left.Without(place)
	if err != nil {
		return nil, err
	}
	return &known{bank: k.bank, estimates: []*battery.Estimate{cal.After}, keep: k.keep, cycles: k.cycles}, nil
}

func validate(k *known, l *calibrationLog) (Validation, error) {
	e := k.estimates[0]
	cell := e.Cell()
	depth := l.depth * float64(k.bank.Capacity().Value) / halves / float64(cell.Capacity) // of what they hold by what is known of them
	c := Validation{Run: l.run.ID, Name: l.run.Name, Left: max(0, 1-depth), Predicted: quantity.Missing[quantity.Seconds]()}
	levels := k.levels()
	r, u, err := e.Compare(l.log, levels...)
	if err != nil {
		return c, err
	}
	c.Checks = k.checksOf(l, r)
	c.Measured, c.Ended, c.Voltage = l.running(r, r.Measured), r.Cutoff*quantity.Volts(l.series), r.Usable
	switch {
	case depth < deepEnough:
		c.Why = fmt.Sprintf("The run took out %.0f %% of the capacity, so it has no end that a running time could be held against.", 100*depth)
		c.Voltage = r.Drive
	case math.IsNaN(float64(r.Measured)):
		c.Why = "The load was too small against the capacity to tell when it ended."
	case math.IsNaN(float64(r.Predicted)):
		c.Why = fmt.Sprintf("The prediction does not come down to %.4g V, at which the run ended.", float64(c.Ended))
	default:
		c.Predicted = spreadAt(l, r, r.Predicted, u, r.Model)
	}
	if math.IsNaN(float64(c.Voltage)) {
		c.Voltage = r.All
	}
	c.Start, c.MeasuredTrace = quantity.Seconds(l.whole.Start), thinned(l.whole)
	c.PredictedTrace = traceOf(r.Time, r.Modelled, float64(l.series))
	return c, nil
}

// spreadAt gives a predicted time since the first load, on the clock, as a running time: unsure by so much on the clock, and by a part of it.
func spreadAt(l *calibrationLog, r battery.Residual, at, clock quantity.Seconds, part float64) quantity.Measured[quantity.Seconds] {
	out := quantity.Unsure(l.running(r, at))
	if math.IsNaN(float64(clock)) {
		return out
	}
	sides := (l.running(r, at+clock) - l.running(r, max(0, at-clock))) / 2
	out.U = quantity.Seconds(math.Hypot(float64(sides), float64(out.Value)*part))
	return out
}

// running is a time on the clock since the first load as the run was timed: by its own stop rule. What a prediction runs
// on for after the end of the run goes without a stop, since the last current goes on.
func (l *calibrationLog) running(r battery.Residual, clock quantity.Seconds) quantity.Seconds {
	from := l.whole.Start + float64(r.First)
	t := l.run.Timing.running(from, from+float64(min(clock, r.Measured)))
	return quantity.Seconds(t) + max(0, clock-r.Measured)
}

func thinned(r *Rows) Trace {
	at := make([]float64, len(r.Time))
	for k, t := range r.Time {
		at[k] = t - r.Start
	}
	return traceOf(at, r.Voltage, 1)
}

// traceOf keeps at most TracePoints rows, the last among them; volts times a factor.
func traceOf(at, volts []float64, factor float64) Trace {
	var out Trace
	every := (len(at) + TracePoints - 1) / TracePoints
	for k, t := range at {
		if k%every == 0 || k == len(at)-1 {
			out.T, out.V = append(out.T, t), append(out.V, volts[k]*factor)
		}
	}
	if len(out.T) > TracePoints {
		out.T, out.V = out.T[len(out.T)-TracePoints:], out.V[len(out.V)-TracePoints:]
	}
	return out
}
