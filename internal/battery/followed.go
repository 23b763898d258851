package battery

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// followed carries tangents along a simulation of one pack, whose steps they go through as its state does. Where a level is reached its
// time follows from how the voltage goes with the unknowns and with time; under a load that swings, with time as the mean load takes charge out.
// A delay is taken to be short against that.
type followed struct {
	ways   *ways
	ts     []tangent
	told   []went
	drawn  []float64 // A s of the pack, by way
	joules []float64 // J
	power  []float64 // W at the latest step, by way
	late   float64   // s of the latest step
	levels [][4][]float64
}

// answersOfLevel are those that are followed: time, s; charge, Ah; energy, Wh; and charge left, Ah.
const answersOfLevel = 4

func (e *Estimate) follow(r *run, started func(*own) float64) (*followed, error) {
	w, err := e.around()
	if err != nil {
		return nil, err
	}
	f := &followed{ways: w, levels: make([][4][]float64, len(r.levels))}
	f.ts = w.tangents(&r.net.elements[0], r.net.elements[0].thermal, true, started)
	n := len(f.ts)
	f.told, f.drawn, f.joules, f.power = make([]went, n), make([]float64, n), make([]float64, n), make([]float64, n)
	return f, nil
}

var everyUnknown = func() []int {
	out := make([]int, places.n)
	for i := range out {
		out[i] = i
	}
	return out
}()

// yields is by how much the current of one cell grows with each volt of that cell behind its resistance, and by which the voltage of the
// pack's cells does at the terminals, a volt a cell.
func (r *run) yields(e *element, at *rates) (amps, volts float64) {
	load := r.load()
	total := at.amps * e.parallel
	pack := 0.0 // A of the pack for a volt of it
	switch load.kind {
	case powerLoad:
		v := at.emf - at.ohms*total
		pack = -total / (v - at.ohms*total)
	case resistanceLoad:
		pack = 1 / (at.ohms + load.value)
	case voltageLoad:
		pack = 1 / at.ohms
	}
	return pack * e.series / e.parallel, 1 - at.ohms*pack
}

// step goes through a step that the run has taken and not yet booked: from the state before it.
func (f *followed) step(r *run, h float64) {
	e := &r.net.elements[0]
	y := r.before[0]
	guess, _ := e.advance(y, &e.now, &e.now, r.net.ambient, h)
	var to rates
	e.behind(&guess, &to)
	e.carry(&guess, &to, e.guessAmps*e.parallel)
	s := strides{e: e, from: e.now, to: to, here: e.pointAt(y, e.now.amps), there: e.pointAt(guess, to.amps)}
	var volts float64
	s.here.yields, volts = r.yields(e, &s.from)
	s.there.yields, _ = r.yields(e, &s.to)
	s.first, s.second = e.stride(y, &s.from, &s.from, r.net.ambient, h), e.stride(y, &s.from, &s.to, r.net.ambient, h)
	for k := range f.told {
		f.told[k] = went{}
	}
	if s.here.yields == 0 && s.there.yields == 0 { // the voltage goes with the unknowns, the current with none
		f.still(r, e, &s.here, volts, h)
		s.carry(f.ts, nil)
		return
	}
	s.carry(f.ts, f.told)
	for k := range f.ts {
		here, there := f.told[k].here, f.told[k].there
		f.drawn[k] += e.parallel * (s.here.yields*here + s.there.yields*there) / 2 * h
		f.put(k, e.parallel*(s.here.yields*here*r.volts+e.now.amps*volts*e.series*here), h)
	}
	f.late = h
}

// still is the power of a current that is held.
func (f *followed) still(r *run, e *element, here *point, volts, h float64) {
	for k := range f.ts {
		t := &f.ts[k]
		f.put(k, e.parallel*e.now.amps*volts*e.series*(t.own.emf(e.cell.Curve, here, &t.y)-here.amps*t.own.ohms(here, &t.y)), h)
	}
	f.late = h
}

// put adds what a power at the beginning of a step comes to, with the half of the step before.
func (f *followed) put(k int, power, h float64) {
	f.joules[k] += power * (f.late + h) / 2
	f.power[k] = power
}

// reached tells how the answers at a level that has just been reached go with each way.
func (f *followed) reached(r *run, level int) {
	e := &r.net.elements[0]
	at := e.pointAt(e.y, e.now.amps)
	yields, volts := r.yields(e, &e.now)
	if r.load().kind == voltageLoad {
		return
	}
	drop := func(o *own, y *state) float64 {
		return e.series * volts * (o.emf(e.cell.Curve, &at, y) - at.amps*o.ohms(&at, y))
	}
	passing := e.passing(r.net.ambient)
	if len(r.Demand.Parts) > 1 { // what the load does in this moment says little of how the voltage falls: its mean does
		passing = state{charge: -r.drawn / r.t / e.parallel * e.perHour}
	}
	fall := drop(nil, &passing) // V/s
	for a := range f.levels[level] {
		f.levels[level][a] = make([]float64, len(f.ts))
	}
	watts := r.amps * r.volts
	for k := range f.ts {
		t := &f.ts[k]
		v := drop(t.own, &t.y)
		later := -v / fall
		amps := e.parallel * yields * v / e.series / volts
		left := 0.0
		if e.y.charge > 0 {
			left = (t.y.charge + passing.charge*later - e.y.charge*t.perHour) / e.perHour / 3600 * e.parallel
		}
		power := amps*r.volts + r.amps*v
		f.levels[level][0][k] = later
		f.levels[level][1][k] = (f.drawn[k] + r.amps*later) / 3600
		f.levels[level][2][k] = (f.joules[k] + power*f.late/2 + watts*later) / 3600
		f.levels[level][3][k] = left
	}
}

// passing is how fast the state changes by itself, with the current as it is.
func (e *element) passing(ambient float64) state {
	r, y := &e.now, &e.y
	out := state{charge: r.dcharge}
	if e.lag > 0 {
		out.lag = (r.lagTo - y.lag) / r.lagTime
	}
	if e.fastOhms != nil {
		out.fast = (r.fastTo - y.fast) / r.fastTime
	}
	if e.slowOhms != nil {
		out.slow = (r.slowTo - y.slow) / r.slowTime
	}
	if e.thermal {
		out.temp = (r.heat - e.cell.Conductance*(y.temp-ambient)) / e.cell.HeatCapacity
	}
	return out
}

// unknowns are slopes along the ways as slopes along all unknowns.
func (f *followed) unknowns(byWay []float64) []float64 {
	out := make([]float64, places.n)
	to := mat.NewVecDense(places.n, out)
	to.MulVec(f.ways.sums.T(), mat.NewVecDense(len(byWay), byWay))
	return out
}

// asItIs says that the charge at the start goes with nothing.
func asItIs(*own) float64 { return 0 }

// slopesOfLevels are the answers of a scenario with one pack at each of its levels, and how each goes with every unknown of the estimate,
// all along one simulation. known says of which levels: not of one that is not reached, or within seconds, or after the circuit opened on
// the way: its answers do not go with the unknowns in one piece.
func (e *Estimate) slopesOfLevels(s Scenario, started func(*own) float64) (o *Outcome, slopes [][]float64, known []bool, err error) {
	r, err := newRun(s)
	if err != nil {
		return nil, nil, nil, err
	}
	if r.follows, err = e.follow(r, started); err != nil {
		return nil, nil, nil, err
	}
	if o, err = r.follow(); err != nil {
		return o, nil, nil, err
	}
	slopes, known = make([][]float64, places.n), make([]bool, len(o.Levels))
	for i := range slopes {
		slopes[i] = make([]float64, answersOfLevel*len(o.Levels))
	}
	for level, l := range o.Levels {
		if l.Err != nil || l.At <= l.Delay+straightAlone || r.follows.levels[level][0] == nil || slices.ContainsFunc(o.Openings, func(p Opening) bool { return p.At < l.At }) {
			continue
		}
		known[level] = true
		for a, byWay := range r.follows.levels[level] {
			for i, v := range r.follows.unknowns(byWay) {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					v, known[level] = 0, false
				}
				slopes[i][answersOfLevel*level+a] = v
			}
		}
	}
	return o, slopes, known, nil
}
