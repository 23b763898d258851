package battery

import "math"

// How the voltages of a log change with what is not known of a cell is carried along with them: the tangents of the state go
// through the derivative of every step that the state goes through, the exact one of the scheme and not of the equations. What
// an unknown changes in the cell itself is a difference of two cells.

// tangentStep is how far an unknown is moved for the difference of two cells, in standard deviations before any log.
const tangentStep = 1e-4

// tangent is the change of the state of one element with one unknown, per unit of it.
type tangent struct {
	y     state
	*own       // what the unknown changes in the element itself; nil: nothing
	still bool // the state does not change, whatever the log does
}

// own is what an unknown changes in an element itself, per unit of it.
type own struct { // perHour as a part of it
	start, perHour, lag, fastTime, slowTime float64
	capacity                                float64
	eo, eb, el                              float64
	peukertK, peukertAt                     float64
	heatCapacity, conductance               float64
	ohmic, fast, slow, entropic             Profile // nil: they do not change
	curve                                   Profile // of the open-circuit voltage, for the heat; nil: it does not change
	moved                                   *Curve  // the changed curve; nil: it does not change
	moving, seen                            extent  // the charges at which the steps, and the voltages, change by it
}

// extent is a range of the state of charge.
type extent struct{ from, to float64 }

var (
	nowhere    = extent{math.Inf(1), math.Inf(-1)}
	everywhere = extent{math.Inf(-1), math.Inf(1)}
)

func (x extent) holds(low, high float64) bool { return high >= x.from && low <= x.to }

// tangentOf is the change from one element to another that one unknown moved by tangentStep. The load is felt where the
// temperature goes with it, or where it goes with the voltage.
func tangentOf(a, b *element, thermal, felt bool) tangent {
	d := func(x, y float64) float64 { return (y - x) / tangentStep }
	o := own{
		start: d(a.y.charge, b.y.charge), perHour: d(1, b.perHour/a.perHour), lag: d(a.lag, b.lag), fastTime: d(a.fastTime, b.fastTime), slowTime: d(a.slowTime, b.slowTime),
		eo: d(a.eo, b.eo), eb: d(a.eb, b.eb), el: d(a.el, b.el), peukertK: d(a.peukertK, b.peukertK), peukertAt: d(a.peukertAt, b.peukertAt),
		heatCapacity: d(a.cell.HeatCapacity, b.cell.HeatCapacity), conductance: d(a.cell.Conductance, b.cell.Conductance),
		ohmic: apartBy(a.cell.Ohmic, b.cell.Ohmic), fast: apartBy(a.fastOhms, b.fastOhms), slow: apartBy(a.slowOhms, b.slowOhms), entropic: apartBy(a.cell.Entropic, b.cell.Entropic),
	}
	if changed(a.cell.Curve, b.cell.Curve) {
		o.moved = b.cell.Curve
	}
	return o.of(a.cell.Curve, thermal, felt)
}

// of is the tangent of an unknown that changes this, with the curve that it changes.
func (o own) of(curve *Curve, thermal, felt bool) tangent {
	plain := o.perHour != 0 || o.lag != 0 || o.fastTime != 0 || o.slowTime != 0 || o.eb != 0 || o.el != 0 || o.peukertK != 0 || o.peukertAt != 0
	whole := plain || thermal && (o.heatCapacity != 0 || o.conductance != 0) || felt && o.eo != 0
	o.moving = nowhere
	switch {
	case whole:
		o.moving = everywhere
	case o.fast != nil:
		o.moving = o.fast.extent()
	case o.slow != nil:
		o.moving = o.slow.extent()
	case o.ohmic != nil && felt:
		o.moving = o.ohmic.extent()
	case o.entropic != nil && thermal:
		o.moving = o.entropic.extent()
	}
	o.seen = nowhere
	switch {
	case o.eo != 0 || whole && o.ohmic != nil:
		o.seen = everywhere
	case o.ohmic != nil:
		o.seen = o.ohmic.extent()
	}
	if o.moved != nil {
		if o.seen = apartOver(curve, o.moved); whole {
			o.seen = everywhere
		}
		if felt && !whole {
			o.moving = o.seen
		}
		if thermal {
			o.curve = make(Profile, profileLen+1)
			for i := range o.curve {
				if z := float64(i) / profileLen; o.seen.holds(z, z) {
					o.curve[i] = (o.moved.at(z) - curve.at(z)) / tangentStep
				}
			}
		}
	}
	t := tangent{own: &o}
	t.y.charge = o.start
	t.still = o.start == 0 && o.moving == nowhere && !thermal && !felt
	return t
}

// extent is where a profile is not zero.
func (p Profile) extent() extent {
	first, last := 0, len(p)-1
	for first < last && p[first] == 0 {
		first++
	}
	for last > first && p[last] == 0 {
		last--
	}
	x := everywhere
	if first > 0 {
		x.from = float64(first-1) / float64(len(p)-1)
	}
	if last < len(p)-1 {
		x.to = float64(last+1) / float64(len(p)-1)
	}
	return x
}

// apartOver is where two curves through the same charges differ: a point of one moves the slopes at its neighbours.
func apartOver(a, b *Curve) extent {
	n := len(a.volts)
	first, last := 0, n-1
	for first < last && a.volts[first] == b.volts[first] {
		first++
	}
	for last > first && a.volts[last] == b.volts[last] {
		last--
	}
	x := everywhere
	if first > 2 && a.under == b.under {
		x.from = a.soc[first-2]
	}
	if last < n-3 && a.over == b.over {
		x.to = a.soc[last+2]
	}
	return x
}

// apartBy is the change of a profile; nil where there is none.
func apartBy(a, b Profile) Profile {
	var out Profile
	for i := range a {
		if a[i] != b[i] {
			if out == nil {
				out = make(Profile, len(a))
			}
			out[i] = (b[i] - a[i]) / tangentStep
		}
	}
	return out
}

func changed(a, b *Curve) bool {
	for i := range a.volts {
		if a.volts[i] != b.volts[i] {
			return true
		}
	}
	return a.under != b.under || a.over != b.over
}

// at is a profile that may be none.
func (p Profile) at(z float64) float64 {
	if p == nil {
		return 0
	}
	return p.At(z)
}

// slope is how a profile rises with the charge.
func (p Profile) slope(z float64) float64 {
	n := len(p) - 1
	if n <= 0 || z <= 0 || z >= 1 {
		return 0
	}
	i := int(z * float64(n))
	return (p[i+1] - p[i]) * float64(n)
}

// point is what the tangents of an element need of a state and its rates, computed once for all of them: how the rates go with
// the state, and with the current where that goes with the voltage.
type point struct {
	y                          state
	amps                       float64
	warm, branch, slowDown, dT float64 // the factors of temperature, and the change of 1/θ with θ
	inverse                    float64 // 1/θ − 1/θref
	ohmic, fast, slow          float64 // the profiles at the charge
	ohmsZ, ohmsT               float64 // the ohmic resistance with charge and temperature
	fastZ, fastT, slowZ, slowT float64 // those of the branches
	fastTimeT, slowTimeT, lagT float64
	voltSlope, laggedSlope     float64 // of the open-circuit voltage, at the charge and at the surface's
	entropic, entropicSlope    float64
	rate, rateI                float64
	peukert                    bool    // counts more than the current
	yields                     float64 // A by which the current of a cell grows with each volt behind its resistance; 0: it is held
}

// pointAt fills a point from the state and the current.
func (e *element) pointAt(y state, amps float64) point {
	p := point{y: y, amps: amps}
	at := min(max(y.temp, -60), 100) + zeroCelsius
	p.inverse = 1/at - e.invRef
	if y.temp > -60 && y.temp < 100 {
		p.dT = -1 / (at * at)
	}
	p.warm, p.branch, p.slowDown = e.factors(y.temp)
	p.ohmic, p.ohmsZ = e.cell.Ohmic.At(y.charge), e.cell.Ohmic.slope(y.charge)*p.warm
	p.fast, p.fastZ = e.fastOhms.at(y.charge), e.fastOhms.slope(y.charge)*p.branch
	p.slow, p.slowZ = e.slowOhms.at(y.charge), e.slowOhms.slope(y.charge)*p.slowDown
	warm, branch, slowDown := p.warm*e.eo*p.dT, p.branch*e.eb*p.dT, p.slowDown*e.el*p.dT
	p.ohmsT, p.fastT, p.slowT = p.ohmic*warm, p.fast*branch, p.slow*slowDown
	p.fastTimeT, p.slowTimeT, p.lagT = e.fastTime*branch, e.slowTime*slowDown, e.lag*slowDown
	p.laggedSlope = e.cell.Curve.Slope(y.charge - y.lag)
	if e.thermal {
		p.voltSlope = e.cell.Curve.Slope(y.charge)
		p.entropic, p.entropicSlope = e.cell.Entropic.at(y.charge), e.cell.Entropic.slope(y.charge)
	}
	p.rateI = e.perHour
	if amps < 0 {
		p.rateI /= e.putBack
	}
	p.rate = amps * p.rateI
	if e.peukertK != 0 && amps > e.peukertAt {
		p.peukert = true
		more := math.Pow(amps/e.peukertAt, e.peukertK)
		p.rate *= more
		p.rateI *= more * (1 + e.peukertK)
	}
	return p
}

// ohms is the change of the ohmic resistance with an unknown, at a point and with the change y of its state.
func (t *own) ohms(p *point, y *state) float64 {
	out := p.ohmsZ*y.charge + p.ohmsT*y.temp
	if t != nil {
		out += t.ohmic.at(p.y.charge)*p.warm + p.ohmic*p.warm*t.eo*p.inverse
	}
	return out
}

// emf is the change of the voltage behind the ohmic resistance.
func (t *own) emf(c *Curve, p *point, y *state) float64 {
	surface := p.y.charge - p.y.lag
	out := p.laggedSlope*(y.charge-y.lag) - y.fast - y.slow
	if t != nil && t.moved != nil && t.seen.holds(surface, surface) {
		out += (t.moved.at(surface) - c.at(surface)) / tangentStep
	}
	return out
}

// rates is the change of the rates with the unknown, at a point and with the change y of its state. It is the derivative of
// behind and carry for one cell. r.emf is that of the voltage less the current times the resistance's, where the current goes with it.
func (t *own) rates(e *element, p *point, y *state, r *rates) {
	i := p.amps
	r.ohms = t.ohms(p, y)
	r.amps = 0
	if p.yields != 0 {
		r.emf = t.emf(e.cell.Curve, p, y) - i*r.ohms
		r.amps = p.yields * r.emf
	}
	lagTime := p.lagT * y.temp
	fastOhms := p.fastZ*y.charge + p.fastT*y.temp
	slowOhms := p.slowZ*y.charge + p.slowT*y.temp
	r.fastTime, r.slowTime = p.fastTimeT*y.temp, p.slowTimeT*y.temp
	rate := p.rateI * r.amps
	if t != nil {
		branch, slowDown := p.branch*t.eb*p.inverse, p.slowDown*t.el*p.inverse
		lagTime += t.lag*p.slowDown + e.lag*slowDown
		fastOhms += t.fast.at(p.y.charge)*p.branch + p.fast*branch
		slowOhms += t.slow.at(p.y.charge)*p.slowDown + p.slow*slowDown
		r.fastTime += t.fastTime*p.branch + e.fastTime*branch
		r.slowTime += t.slowTime*p.slowDown + e.slowTime*slowDown
		rate += p.rate * t.perHour
		if p.peukert {
			rate += p.rate * (t.peukertK*math.Log(i/e.peukertAt) - e.peukertK*t.peukertAt/e.peukertAt)
		}
	}
	r.dcharge = -rate
	if e.thermal {
		r.heat = t.heat(e, p, y, r, fastOhms, slowOhms)
	}
	r.fastTo, r.slowTo = fastOhms*i+p.fast*p.branch*r.amps, slowOhms*i+p.slow*p.slowDown*r.amps
	r.lagTo = lagTime*p.rate + e.lag*p.slowDown*rate
	r.lagTime = lagTime * lagSettling
}

// heat is the change of the heat.
func (t *own) heat(e *element, p *point, y *state, rates *rates, fastOhms, slowOhms float64) float64 {
	i := p.amps
	out := i * i * rates.ohms
	if r := p.fast * p.branch; r > 0 {
		out += p.y.fast / r * (2*y.fast - p.y.fast/r*fastOhms)
	}
	if r := p.slow * p.slowDown; r > 0 {
		out += p.y.slow / r * (2*y.slow - p.y.slow/r*slowOhms)
	}
	if e.lag > 0 {
		out += i * (p.voltSlope*y.charge - p.laggedSlope*(y.charge-y.lag))
	}
	absolute := p.y.temp + zeroCelsius
	out -= i * (y.temp*p.entropic + absolute*p.entropicSlope*y.charge)
	if t != nil {
		if e.lag > 0 && t.curve != nil {
			out += i * (t.volts(e.cell.Curve, p.y.charge) - t.volts(e.cell.Curve, p.y.charge-p.y.lag))
		}
		out -= i * absolute * t.entropic.at(p.y.charge)
	}
	if rates.amps != 0 {
		each := 2*i*p.ohmic*p.warm - absolute*p.entropic
		if e.lag > 0 {
			each += e.cell.Curve.at(p.y.charge) - e.cell.Curve.at(p.y.charge-p.y.lag)
		}
		out += rates.amps * each
	}
	return out
}

// volts is the change of the open-circuit voltage at a charge.
func (t *own) volts(c *Curve, z float64) float64 {
	if z >= 0 && z <= 1 {
		return t.curve.At(z)
	}
	return (t.moved.at(z) - c.at(z)) / tangentStep
}

// relaxed is the derivative of relax, as slopes gives it: of where it ends, with y, g0, g1 and τ.
type relaxed struct{ y, g0, g1, tau float64 }

func (w *settling) slopes(y, g0, g1, tau, h float64) relaxed {
	x := h / tau
	e1 := w.of(x)
	s := (g1 - g0) / x
	lead := y - g0 + s
	return relaxed{y: 1 - e1, g0: e1/x - (1 - e1), g1: 1 - e1/x, tau: -x / tau * (s/x*e1 - lead*(1-e1))}
}

func (r relaxed) of(y, g0, g1, tau float64) float64 { return r.y*y + r.g0*g0 + r.g1*g1 + r.tau*tau }

// stride is the derivative of advance, but for what the unknowns change.
type stride struct {
	h                     float64
	lag, fast, slow, temp relaxed
	conductance           float64
	fromOver, toOver      float64 // the heat over the conductance
}

func (e *element) stride(y state, from, to *rates, ambient, h float64) stride {
	s := stride{h: h}
	if e.lag > 0 {
		s.lag = e.settled.lag.slopes(y.lag, from.lagTo, to.lagTo, (from.lagTime+to.lagTime)/2, h)
	}
	if e.fastOhms != nil {
		s.fast = e.settled.fast.slopes(y.fast, from.fastTo, to.fastTo, (from.fastTime+to.fastTime)/2, h)
	}
	if e.slowOhms != nil {
		s.slow = e.settled.slow.slopes(y.slow, from.slowTo, to.slowTo, (from.slowTime+to.slowTime)/2, h)
	}
	if k := e.cell.Conductance; e.thermal && k > 0 {
		s.temp = e.settled.temp.slopes(y.temp, ambient+from.heat/k, ambient+to.heat/k, e.cell.HeatCapacity/k, h)
		s.conductance, s.fromOver, s.toOver = k, from.heat/k, to.heat/k
	}
	return s
}

// advance moves the change of a state over the stride.
func (t *own) advance(e *element, s *stride, y *state, from, to, base, baseTo *rates) state {
	next := *y
	next.charge += (from.dcharge + to.dcharge) / 2 * s.h
	if e.lag > 0 {
		next.lag = s.lag.of(y.lag, from.lagTo, to.lagTo, (from.lagTime+to.lagTime)/2)
	}
	if e.fastOhms != nil {
		next.fast = s.fast.of(y.fast, from.fastTo, to.fastTo, (from.fastTime+to.fastTime)/2)
	}
	if e.slowOhms != nil {
		next.slow = s.slow.of(y.slow, from.slowTo, to.slowTo, (from.slowTime+to.slowTime)/2)
	}
	if !e.thermal {
		return next
	}
	var heatCapacity, conductance float64
	if t != nil {
		heatCapacity, conductance = t.heatCapacity, t.conductance
	}
	if k := s.conductance; k > 0 {
		time := (heatCapacity - e.cell.HeatCapacity/k*conductance) / k
		next.temp = s.temp.of(y.temp, (from.heat-s.fromOver*conductance)/k, (to.heat-s.toOver*conductance)/k, time)
	} else {
		c := e.cell.HeatCapacity
		next.temp += ((from.heat+to.heat)/2 - (base.heat+baseTo.heat)/2*heatCapacity/c) * s.h / c
	}
	return next
}

// strides is one step of an element as its tangents go through it: from here, with the guess there, to the end.
type strides struct {
	e             *element
	here, there   point
	first, second stride
	from, to      rates // of the element
	unit          [5]went
}

// units are the parts of a state, one of each alone.
var units = [5]state{{charge: 1}, {lag: 1}, {fast: 1}, {slow: 1}, {temp: 1}}

// went is what the change of a state comes to in a step, and the voltage less the current times the resistance's change here and there,
// in volts of a cell, where the current goes with it.
type went struct {
	y           state
	here, there float64
}

// through takes the change of a state through the step.
func (s *strides) through(t *own, y *state, w *went) {
	var now, then rates
	t.rates(s.e, &s.here, y, &now)
	moved := t.advance(s.e, &s.first, y, &now, &now, &s.from, &s.from)
	t.rates(s.e, &s.there, &moved, &then)
	w.y, w.here, w.there = t.advance(s.e, &s.second, y, &now, &then, &s.from, &s.to), now.emf, then.emf
}

// reach is where the step is, of the charge of the cell and of its surface.
func (s *strides) reach() (low, high float64) {
	a, b := &s.here.y, &s.there.y
	return min(a.charge, b.charge, a.charge-a.lag, b.charge-b.lag), max(a.charge, b.charge, a.charge-a.lag, b.charge-b.lag)
}

// carry moves tangents on. Those that change nothing in the cell where the step is go as the parts of the state go. told, where it is
// not nil, is filled with what the current goes with.
func (s *strides) carry(ts []tangent, told []went) {
	held := !s.e.thermal && told == nil
	if held {
		s.heldUnits()
	} else {
		for i := range units {
			s.through(nil, &units[i], &s.unit[i])
		}
	}
	low, high := s.reach()
	var w went
	for k := range ts {
		t := &ts[k]
		if t.still {
			continue
		}
		switch {
		case t.own != nil && t.moving.holds(low, high):
			s.through(t.own, &t.y, &w)
		case held && t.y.temp == 0:
			s.held(&t.y, &w.y)
		case held: // it began otherwise warm, which goes with nothing
			s.through(nil, &t.y, &w)
		default:
			s.plain(&t.y, &w)
		}
		t.y = w.y
		if told != nil {
			told[k] = w
		}
	}
}

// heldUnits are the units where neither the temperature nor the current goes with anything: the charge alone moves others.
func (s *strides) heldUnits() {
	s.through(nil, &units[0], &s.unit[0])
	lag, fast, slow := 1.0, 1.0, 1.0
	if s.e.lag > 0 {
		lag = s.second.lag.y
	}
	if s.e.fastOhms != nil {
		fast = s.second.fast.y
	}
	if s.e.slowOhms != nil {
		slow = s.second.slow.y
	}
	s.unit[1].y, s.unit[2].y, s.unit[3].y = state{lag: lag}, state{fast: fast}, state{slow: slow}
}

// held is plain where neither the temperature nor the current goes with anything.
func (s *strides) held(y, to *state) {
	u := &s.unit
	to.charge, to.lag, to.temp = y.charge, u[1].y.lag*y.lag, y.temp
	to.fast = u[0].y.fast*y.charge + u[2].y.fast*y.fast
	to.slow = u[0].y.slow*y.charge + u[3].y.slow*y.slow
}

// plain is through for an unknown that changes nothing where the step is.
func (s *strides) plain(y *state, w *went) {
	z, l, f, v, t := y.charge, y.lag, y.fast, y.slow, y.temp
	a, b, c, d, e := &s.unit[0], &s.unit[1], &s.unit[2], &s.unit[3], &s.unit[4]
	w.y.temp = a.y.temp*z + b.y.temp*l + c.y.temp*f + d.y.temp*v + e.y.temp*t
	w.y.charge = a.y.charge*z + b.y.charge*l + c.y.charge*f + d.y.charge*v + e.y.charge*t
	w.y.lag = a.y.lag*z + b.y.lag*l + c.y.lag*f + d.y.lag*v + e.y.lag*t
	w.y.fast = a.y.fast*z + b.y.fast*l + c.y.fast*f + d.y.fast*v + e.y.fast*t
	w.y.slow = a.y.slow*z + b.y.slow*l + c.y.slow*f + d.y.slow*v + e.y.slow*t
	if s.here.yields == 0 && s.there.yields == 0 {
		return
	}
	w.here = a.here*z + b.here*l + c.here*f + d.here*v + e.here*t
	w.there = a.there*z + b.there*l + c.there*f + d.there*v + e.there*t
}

// briefest is the length of a step, s, in which what an unknown changes is less than a part in a thousand of what it changes in
// the time of the quickest branch: the tangents stay.
const briefest = 0.005

// holdWith moves the element and the tangents on under a constant current.
func (e *element) holdWith(ts []tangent, amps, h, ambient float64) {
	y := e.y
	e.behind(&y, &e.now)
	e.carry(&y, &e.now, amps)
	guess, _ := e.advance(y, &e.now, &e.now, ambient, h)
	e.behind(&guess, &e.then)
	e.carry(&guess, &e.then, amps)
	if h > briefest {
		s := strides{e: e, from: e.now, to: e.then, here: e.pointAt(y, amps), there: e.pointAt(guess, amps)}
		s.first, s.second = e.stride(y, &e.now, &e.now, ambient, h), e.stride(y, &e.now, &e.then, ambient, h)
		s.carry(ts, nil)
	}
	e.y, _ = e.advance(y, &e.now, &e.then, ambient, h)
}
