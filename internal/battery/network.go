package battery

import (
	"math"

	"voltwright/internal/quantity"
)

// state is what changes in one cell of a pack.
type state struct {
	charge, lag, fast, slow, temp float64
}

// rates is what a state and a current ask for: a quantity y obeys τ·dy/dt = g − y.
type rates struct {
	amps             float64 // through one cell
	dcharge          float64 // per second
	lagTo, lagTime   float64
	fastTo, fastTime float64
	slowTo, slowTime float64
	heat             float64 // W in one cell
	emf, ohms        float64 // of the pack: the voltage behind its ohmic resistance
}

// element is one pack of a network, with the numbers of its cell at hand.
type element struct {
	cell                *Cell
	series, parallel    float64
	leads               float64
	perHour             float64 // 1/(3600·Q)
	eo, eb, el          float64 // activation energies over R, K
	invRef              float64
	fastTime, slowTime  float64
	fastOhms, slowOhms  Profile
	lag                 float64
	thermal             bool
	putBack             float64 // charge put in for charge stored
	peukertK, peukertAt float64 // exponent − 1 and the rated current of one cell
	y                   state
	open                bool // cut off by its own protection
	now, then           rates
	meanAmps, guessAmps float64 // of the latest step: as it was carried, and as the predictor had it at the end

	warmths [2]warmth  // that were asked for last, the newest first
	settled settlement // of the lag, of the branches and of the temperature
}

// warmth is the factors at a temperature.
type warmth struct {
	known              bool
	temp               float64
	ohmic, branch, lag float64
}

// settlement is how far each quantity of a state settles in the time that was asked for last.
type settlement struct{ lag, fast, slow, temp settling }

// settling is 1 − exp(−x) of the x that was asked for last: most are asked for again at once.
type settling struct{ x, part float64 }

func (s *settling) of(x float64) float64 {
	if x != s.x {
		s.x, s.part = x, -math.Expm1(-x)
	}
	return s.part
}

func newElement(p Pack) element {
	c := p.Cell
	e := element{
		cell: c, series: float64(p.Series), parallel: float64(p.Parallel), leads: float64(p.Leads),
		eo: c.ActivationOhmic / gasConstant, eb: c.ActivationBranch / gasConstant, el: c.ActivationLag / gasConstant,
		invRef: 1 / (float64(c.Reference) + zeroCelsius),
		lag:    float64(c.Lag), thermal: c.HeatCapacity > 0,
		putBack: 1,
		y:       state{charge: p.Charge, temp: float64(p.Temperature)},
	}
	capacity := float64(c.Capacity)
	if c.Chemistry != nil {
		capacity *= c.Chemistry.CapacityFactor(p.Temperature)
	}
	e.perHour = 1 / (3600 * capacity)
	if c.Chemistry != nil {
		e.putBack = c.Chemistry.value("charge-return")
	}
	if len(c.Branches) > 0 {
		e.fastOhms, e.fastTime = c.Branches[0].Resistance, float64(c.Branches[0].Time)
	}
	if len(c.Branches) > 1 {
		e.slowOhms, e.slowTime = c.Branches[1].Resistance, float64(c.Branches[1].Time)
	}
	if c.Peukert != nil {
		e.peukertK = c.Peukert.Exponent - 1
		e.peukertAt = float64(c.Capacity) / float64(c.Peukert.Rated/3600)
	}
	return e
}

// factors are the Arrhenius factors of the ohmic resistance, the first branch,
// and the second branch with the lag.
func (e *element) factors(temp float64) (ohmic, branch, lag float64) {
	w := &e.warmths[0]
	if !w.known || w.temp != temp {
		if last := &e.warmths[1]; last.known && last.temp == temp {
			w = last
		} else {
			*last = *w
			d := 1/(min(max(temp, -60), 100)+zeroCelsius) - e.invRef
			*w = warmth{true, temp, math.Exp(e.eo * d), math.Exp(e.eb * d), math.Exp(e.el * d)}
		}
	}
	return w.ohmic, w.branch, w.lag
}

// behind gives the voltage behind the ohmic resistance of the pack and that
// resistance. It fills the part of r that does not need the current.
func (e *element) behind(y *state, r *rates) {
	warm, branch, slowDown := e.factors(y.temp)
	r.emf = e.series * (e.cell.Curve.at(y.charge-y.lag) - y.fast - y.slow)
	r.ohms = e.series/e.parallel*e.cell.Ohmic.At(y.charge)*warm + e.leads
	r.lagTime = e.lag * slowDown
	if e.fastOhms != nil {
		r.fastTo, r.fastTime = e.fastOhms.At(y.charge)*branch, e.fastTime*branch
	}
	if e.slowOhms != nil {
		r.slowTo, r.slowTime = e.slowOhms.At(y.charge)*slowDown, e.slowTime*slowDown
	}
}

// carry completes r for the pack's current.
func (e *element) carry(y *state, r *rates, packAmps float64) {
	i := packAmps / e.parallel
	r.amps = i
	rate := i * e.perHour
	if i < 0 {
		rate /= e.putBack
	}
	if e.peukertK != 0 && i > e.peukertAt {
		rate *= math.Pow(i/e.peukertAt, e.peukertK)
	}
	r.dcharge = -rate
	if e.thermal {
		r.heat = i * i * (r.ohms - e.leads) * e.parallel / e.series
		if e.fastOhms != nil && r.fastTo > 0 {
			r.heat += y.fast * y.fast / r.fastTo
		}
		if e.slowOhms != nil && r.slowTo > 0 {
			r.heat += y.slow * y.slow / r.slowTo
		}
		if e.lag > 0 && i != 0 {
			r.heat += i * (e.cell.Curve.at(y.charge) - e.cell.Curve.at(y.charge-y.lag))
		}
	}
	if e.thermal && e.cell.Entropic != nil {
		r.heat -= i * (y.temp + zeroCelsius) * e.cell.Entropic.At(y.charge)
	}
	r.fastTo *= i
	r.slowTo *= i
	r.lagTo = r.lagTime * rate
	r.lagTime *= lagSettling
}

// relax moves τ·dy/dt = g(t) − y on by h for a g that goes straight from g0 to
// g1. It is exact for that g and a constant τ, however long the step.
// area is the integral of y over the step.
func (w *settling) relax(y, g0, g1, tau, h float64) (next, area float64) {
	x := h / tau
	e1 := w.of(x)
	s := (g1 - g0) / x // τ·dg/dt
	lead := y - g0 + s
	return g1 - s + lead*(1-e1), h*((g0+g1)/2-s) + lead*tau*e1
}

// advance moves a pack's state over h seconds from the rates at its two ends.
// With to equal to from it is the predictor. lost is the integral of the branch
// voltages, V s in one cell.
func (e *element) advance(y state, from, to *rates, ambient, h float64) (next state, lost float64) {
	next = y
	next.charge += (from.dcharge + to.dcharge) / 2 * h
	if e.lag > 0 {
		next.lag, _ = e.settled.lag.relax(y.lag, from.lagTo, to.lagTo, (from.lagTime+to.lagTime)/2, h)
	}
	var area float64
	if e.fastOhms != nil {
		next.fast, area = e.settled.fast.relax(y.fast, from.fastTo, to.fastTo, (from.fastTime+to.fastTime)/2, h)
		lost += area
	}
	if e.slowOhms != nil {
		next.slow, area = e.settled.slow.relax(y.slow, from.slowTo, to.slowTo, (from.slowTime+to.slowTime)/2, h)
		lost += area
	}
	if e.thermal {
		if k := e.cell.Conductance; k > 0 {
			next.temp, _ = e.settled.temp.relax(y.temp, ambient+from.heat/k, ambient+to.heat/k, e.cell.HeatCapacity/k, h)
		} else {
			next.temp += (from.heat + to.heat) / 2 * h / e.cell.HeatCapacity
		}
	}
	return next, lost
}

// network is packs that share one terminal voltage.
type network struct {
	elements []element
	ambient  float64
}

// sums are of the packs that are connected: Σ E/R and Σ 1/R.
func (n *network) sums(later bool) (er, g float64) {
	for i := range n.elements {
		e := &n.elements[i]
		if e.open {
			continue
		}
		r := &e.now
		if later {
			r = &e.then
		}
		g += 1 / r.ohms
		er += r.emf / r.ohms
	}
	return er, g
}

// solve finds the terminal voltage and the current drawn by a load from packs
// whose voltage behind resistance is known, and gives each its share.
//
// For packs E and R in parallel V = (ΣE/R − I)/Σ(1/R) (Millman's theorem); a
// power load solves V²·Σ(1/R) − V·ΣE/R + P = 0 for its upper root and has none
// beyond P = (ΣE/R)²/(4·Σ1/R).
func (n *network) solve(load Load, states func(*element) *state, later bool) (volts, amps float64, err error) {
	for i := range n.elements {
		e := &n.elements[i]
		r := &e.now
		if later {
			r = &e.then
		}
		e.behind(states(e), r)
	}
	er, g := n.sums(later)
	if g == 0 {
		return 0, 0, nil
	}
	switch load.kind {
	case currentLoad:
		amps = load.value
		volts = (er - amps) / g
	case powerLoad:
		root := er*er - 4*g*load.value
		if root < 0 {
			limit := er * er / (4 * g)
			return er / g / 2, er / 2, &CollapseError{Wanted: quantity.Watts(load.value), Limit: quantity.Watts(limit), Volts: quantity.Volts(er / g / 2)}
		}
		volts = (er + math.Sqrt(root)) / (2 * g)
		amps = er - volts*g
	case resistanceLoad:
		volts = er / (g + 1/load.value)
		amps = volts / load.value
	case voltageLoad:
		volts = load.value
		amps = er - volts*g
	}
	for i := range n.elements {
		e := &n.elements[i]
		r := &e.now
		if later {
			r = &e.then
		}
		share := 0.0
		if !e.open {
			share = (r.emf - volts) / r.ohms
		}
		e.carry(states(e), r, share)
	}
	return volts, amps, nil
}

func current(e *element) *state { return &e.y }
