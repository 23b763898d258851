package battery

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

const (
	defaultTolerance = 2e-3 // V of one cell
	longest          = 30 * 24 * 3600.0
	largestCharge    = 0.02 // most charge moved in a step
	emptyCharge      = -0.05
	mostOpenings     = 2000
	voltsPerKelvin   = 1e-3       // what an error in temperature counts for, V of one cell
	quickest         = 0.1        // s that a cutout stays open at the least
	settledFor       = 4 * 3600.0 // an open cutout that has not closed in this time stays open
)

// Simulate runs packs in parallel against a demand until every level is
// reached, the cutout opens, or nothing more can be had.
//
// The branch voltages, the lag and the temperature are carried by the exact
// exponential for a drive that is straight within the step (first-order hold),
// as predictor and corrector; the step is chosen so that the two differ by less
// than Tolerance. Levels and cutout voltages are located inside a step to a part
// in 10¹⁰ of it.
//
// It returns an error for a scenario that is none, and *CollapseError when a
// power load cannot be carried at the very start; a later collapse ends the run
// with Outcome.Collapse set.
func Simulate(s Scenario) (*Outcome, error) {
	r, err := newRun(s)
	if err != nil {
		return nil, err
	}
	return r.follow()
}

// run is one simulation under way.
type run struct {
	Scenario
	net      network
	tol      float64
	until    float64
	series   float64 // cells in series, the most of any pack
	t        float64
	part     int
	partEnds float64
	h        float64
	volts    float64 // with the load as it is now
	amps     float64
	out      Outcome
	levels   []watch
	cut      watch
	open     bool // the cutout
	packCuts []watch
	before   []state // scratch
	every    float64
	nextRow  float64
	drawn    float64 // A s
	joules   float64
	heat     float64 // J
	lowest   float64
	ceiling  float64   // a charger's voltage, while it holds the current
	taper    float64   // the current at which it ends, while it holds the voltage
	follows  *followed // what follows from the unknowns of the pack; nil: nobody asks
}

// watch follows one voltage threshold with its delay.
type watch struct {
	volts, delay float64
	below        bool
	due          float64
	done         bool
}

func (s Scenario) check() error {
	if len(s.Packs) == 0 {
		return errors.New("there is no pack")
	}
	for i, p := range s.Packs {
		if err := p.Check(); err != nil {
			return err
		}
		if p.Series != s.Packs[0].Series {
			return fmt.Errorf("packs of %d and %d cells in series cannot be joined in parallel: %q would be charged far beyond its limit",
				s.Packs[0].Series, p.Series, s.Packs[min(i, len(s.Packs)-1)].Name)
		}
	}
	return s.Demand.Check()
}

func newRun(s Scenario) (*run, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	r := &run{Scenario: s, tol: float64(s.Tolerance), until: float64(s.Until), lowest: math.Inf(1)}
	if r.tol <= 0 {
		r.tol = defaultTolerance
	}
	if r.until <= 0 {
		r.until = longest
	}
	r.net.ambient = float64(s.Ambient)
	for _, p := range s.Packs {
		r.net.elements = append(r.net.elements, newElement(p))
		r.series = max(r.series, float64(p.Series))
		w := watch{done: true}
		if p.Protection != nil {
			w = watch{volts: float64(p.Protection.Opens), delay: float64(p.Protection.Delay)}
		}
		r.packCuts = append(r.packCuts, w)
		r.out.Packs = append(r.out.Packs, PackOutcome{Name: p.Name, Warmest: p.Temperature})
	}
	for _, l := range s.Levels {
		r.levels = append(r.levels, watch{volts: float64(l.Volts), delay: float64(l.Delay)})
		r.out.Levels = append(r.out.Levels, Reached{Level: l, At: quantity.Seconds(math.NaN())})
	}
	r.cut = watch{done: true}
	if s.Cutout != nil {
		r.cut = watch{volts: float64(s.Cutout.Opens), delay: float64(s.Cutout.Delay)}
	}
	r.before = make([]state, len(s.Packs))
	r.partEnds = float64(s.Demand.Parts[0].For)
	return r, nil
}

// load is what is drawn now.
func (r *run) load() Load {
	if r.open {
		return Load{currentLoad, float64(r.Cutout.Idle)}
	}
	return r.Demand.Parts[r.part].Load
}

func (r *run) follow() (*Outcome, error) {
	r.h = 1
	if err := r.settle(); err != nil {
		return nil, err
	}
	for ended := Ending(""); ; {
		r.row(false)
		if ended = r.judge(); ended != "" {
			r.out.Ended = ended
			break
		}
		err := r.step()
		if c, ok := errors.AsType[*CollapseError](err); ok {
			c.At = quantity.Seconds(r.t)
			r.out.Collapse, r.out.Ended = c, Collapsed
			break
		}
		if err != nil {
			return nil, err
		}
	}
	r.finish()
	return &r.out, nil
}

// settle solves the network for the load of this moment.
func (r *run) settle() error {
	volts, amps, err := r.net.solve(r.load(), current, false)
	r.volts, r.amps = volts, amps
	return err
}

// step moves on to the next event or as far as the tolerance allows.
func (r *run) step() error {
	h := min(r.h, r.partEnds-r.t, r.until-r.t)
	for _, w := range r.levels {
		h = w.limit(h, r.t)
	}
	h = r.cut.limit(h, r.t)
	for _, w := range r.packCuts {
		h = w.limit(h, r.t)
	}
	h = max(h, 1e-9)
	for i := range r.net.elements {
		e := &r.net.elements[i]
		r.before[i] = e.y
		if d := math.Abs(e.now.dcharge); d*h > largestCharge {
			h = largestCharge / d
		}
	}
	volts0 := r.volts
	next, lost, heat, grown, err := r.try(h)
	for err != nil || grown > r.tol {
		if h < 1e-6 && err != nil {
			return err
		}
		if h < 1e-6 {
			break
		}
		shrink := 0.3
		if err == nil {
			shrink = max(0.2, 0.9*math.Sqrt(r.tol/grown))
		}
		h *= shrink
		next, lost, heat, grown, err = r.try(h)
	}
	wish := 3.0
	if grown > 0 {
		wish = min(3, 0.9*math.Sqrt(r.tol/grown))
	}
	wished := h * wish
	// A threshold crossed inside the step: go back and step just to it.
	if target, crossed := r.crossing(volts0, next); crossed {
		h, next, lost, heat = r.locate(h, volts0-target, next, func(x [2]float64) float64 { return x[0] - target })
		wished = max(h, wished/4)
	} else if r.taper > 0 && -r.amps > r.taper && -next[1] < r.taper {
		h, next, lost, heat = r.locate(h, -r.amps-r.taper, next, func(x [2]float64) float64 { return -x[1] - r.taper })
	}
	if h >= r.h || wished < r.h {
		r.h = max(wished, 1e-6)
	}
	r.accept(h, next, lost, heat)
	return r.advancePart()
}

// limit shortens a step so that it ends where a delay is over.
func (w watch) limit(h, t float64) float64 {
	if w.below && !w.done && w.due > t {
		return min(h, w.due-t)
	}
	return h
}

// try moves every pack over h and returns the terminal voltage and current
// then, the branch loss (V s) and heat (J), and how far predictor and corrector differ, in V of one cell.
func (r *run) try(h float64) (next [2]float64, lost, heat, grown float64, err error) {
	load := r.load()
	n := &r.net
	for i := range n.elements {
		e := &n.elements[i]
		e.y, _ = e.advance(r.before[i], &e.now, &e.now, n.ambient, h)
	}
	var warmer float64  // K between predictor and corrector
	var shifted float64 // V of one cell by which the packs' shares differ
	guess, guessAmps, err := n.solve(load, current, true)
	if err != nil {
		r.restore()
		return next, 0, 0, 0, err
	}
	for i := range n.elements {
		e := &n.elements[i]
		var l float64
		warm := e.y.temp
		e.meanAmps, e.guessAmps = (e.now.amps+e.then.amps)/2, e.then.amps
		e.y, l = e.advance(r.before[i], &e.now, &e.then, n.ambient, h)
		warmer = max(warmer, math.Abs(e.y.temp-warm))
		b := r.before[i]
		if !e.open {
			lost += e.series * (h*(b.fast+b.slow+e.y.fast+e.y.slow)/2 - l) / e.now.ohms
		}
		heat += (e.now.heat + e.then.heat) / 2 * h * e.series * e.parallel
	}
	volts, amps, err := n.solve(load, current, true)
	if err != nil {
		r.restore()
		return next, 0, 0, 0, err
	}
	for i := range n.elements {
		e := &n.elements[i]
		shifted = max(shifted, math.Abs(e.then.amps-e.guessAmps)*e.parallel*e.then.ohms/e.series)
	}
	grown = math.Abs(volts - guess)
	if _, g := n.sums(false); g > 0 {
		lost /= g
		grown += math.Abs(amps-guessAmps) / g
	}
	return [2]float64{volts, amps}, lost, heat, grown/r.series + shifted + voltsPerKelvin*warmer, nil
}

func (r *run) restore() {
	for i := range r.net.elements {
		r.net.elements[i].y = r.before[i]
	}
}

// crossing finds the highest threshold that the voltage passes in a step.
func (r *run) crossing(from float64, next [2]float64) (target float64, crossed bool) {
	to := next[0]
	consider := func(w watch) {
		if w.done || r.open {
			return
		}
		at := w.volts
		if w.below {
			at += 10 * near(at)
		}
		if !w.below && from > at && to < at || w.below && from < at && to > at {
			if !crossed || math.Abs(at-from) < math.Abs(target-from) {
				target, crossed = at, true
			}
		}
	}
	for _, w := range r.levels {
		consider(w)
	}
	consider(r.cut)
	for i, w := range r.packCuts {
		if !r.net.elements[i].open {
			consider(w)
		}
	}
	if r.open {
		if reset := r.reset(); from < reset && to > reset {
			return reset, true
		}
	}
	if r.ceiling > 0 && from < r.ceiling && to > r.ceiling {
		return r.ceiling, true
	}
	return target, crossed
}

// near is how close to a threshold counts as being there, V.
func near(volts float64) float64 { return 1e-10 * (1 + math.Abs(volts)) }

// reset is the voltage at which an open cutout closes; +Inf for one that does not.
func (r *run) reset() float64 {
	v := float64(r.Cutout.Opens + r.Cutout.ResetThreshold)
	if math.IsNaN(v) {
		return math.Inf(1)
	}
	return v
}

// locate steps to where f changes its sign within h, by regula falsi with the
// Illinois change. f0 is its value at the start, last the end of the whole step.
// The state is left at the change or just past it.
func (r *run) locate(h, f0 float64, last [2]float64, f func([2]float64) float64) (at float64, next [2]float64, lost, heat float64) {
	a, b := 0.0, h
	fa, fb := f0, f(last)
	scale := 1e-11 * (1 + math.Abs(fa) + math.Abs(last[0]))
	side := 0
	for range 60 {
		if b-a <= 1e-12*h || fb == 0 {
			break
		}
		x := b - fb*(b-a)/(fb-fa)
		if !(x > a && x < b) {
			x = (a + b) / 2
		}
		got, _, _, _, err := r.try(x)
		if err != nil {
			break
		}
		fx := f(got)
		if math.Abs(fx) < scale {
			b = x
			break
		}
		switch {
		case (fx > 0) == (fb > 0):
			b, fb = x, fx
			if side == 1 {
				fa /= 2
			}
			side = 1
		default:
			a, fa = x, fx
			if side == -1 {
				fb /= 2
			}
			side = -1
		}
	}
	next, lost, heat, _, _ = r.try(b)
	return b, next, lost, heat
}

// accept books a step that has been taken.
func (r *run) accept(h float64, next [2]float64, lost, heat float64) {
	r.out.Steps++
	if r.follows != nil {
		r.follows.step(r, h)
	}
	r.t += h
	meanAmps := 0.0
	for i := range r.net.elements {
		meanAmps += r.net.elements[i].parallel * r.net.elements[i].meanAmps
	}
	r.drawn += meanAmps * h
	switch load := r.load(); load.kind {
	case powerLoad:
		r.joules += load.value * h
	case resistanceLoad:
		r.joules += (r.volts*r.volts + r.volts*next[0] + next[0]*next[0]) / 3 / load.value * h
	default:
		r.joules += meanAmps * ((r.volts+next[0])/2*h + lost)
	}
	r.heat += heat
	for i := range r.net.elements {
		e := &r.net.elements[i]
		o := &r.out.Packs[i]
		o.Out += quantity.AmpereHours(e.parallel * e.meanAmps * h / 3600)
		o.Warmest = max(o.Warmest, quantity.Celsius(e.y.temp))
		o.Most = max(o.Most, quantity.Amperes(e.now.amps*e.parallel))
		o.MostIn = max(o.MostIn, quantity.Amperes(-e.now.amps*e.parallel))
		surface := e.y.charge - e.y.lag
		o.OutsideCurve = o.OutsideCurve || surface < e.cell.Curve.low || surface > e.cell.Curve.high+1e-9
		e.now = e.then
	}
	r.volts, r.amps = next[0], next[1]
	if !r.open {
		r.lowest = min(r.lowest, r.volts)
	}
}

// advancePart goes to the next part of the demand when this one is over.
func (r *run) advancePart() error {
	if r.t < r.partEnds-1e-9 {
		return nil
	}
	for r.t >= r.partEnds-1e-9 {
		if r.part++; r.part == len(r.Demand.Parts) {
			if !r.Demand.Repeat {
				r.part--
				return nil
			}
			r.part = 0
		}
		r.partEnds += float64(r.Demand.Parts[r.part].For)
	}
	if r.h < 1 || r.Demand.Parts[r.part].For > 1 {
		r.h = max(r.h/8, min(1, float64(r.Demand.Parts[r.part].For)))
	}
	return r.settle()
}
