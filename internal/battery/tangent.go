package battery

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// How the voltages of a log change with what is not known of a cell is carried along with them: the tangents of the state go
// through the derivative of every step that the state goes through, the exact one of the scheme and not of the equations. What
// an unknown changes in the cell itself is a difference of two cells.

// tangentStep is how far an unknown is moved for the difference of two cells, in standard deviations before any log.
const tangentStep = 1e-4

// tangent is the change of one element with one unknown, per unit of it.
type tangent struct {
	y         state
	now, then rates

	start, perHour, lag, fastTime, slowTime float64
	eo, eb, el                              float64
	peukertK, peukertAt                     float64
	heatCapacity, conductance               float64
	ohmic, fast, slow, entropic             Profile // nil: they do not change
	curve                                   Profile // of the open-circuit voltage, for the heat; nil: it does not change
	moved                                   *Curve  // the changed curve; nil: it does not change
	still                                   bool    // the state does not change, whatever the log does
}

// tangentOf is the change from one element to another that one unknown moved by tangentStep.
func tangentOf(a, b *element, thermal bool) tangent {
	d := func(x, y float64) float64 { return (y - x) / tangentStep }
	t := tangent{
		start: d(a.y.charge, b.y.charge), perHour: d(a.perHour, b.perHour), lag: d(a.lag, b.lag), fastTime: d(a.fastTime, b.fastTime), slowTime: d(a.slowTime, b.slowTime),
		eo: d(a.eo, b.eo), eb: d(a.eb, b.eb), el: d(a.el, b.el), peukertK: d(a.peukertK, b.peukertK), peukertAt: d(a.peukertAt, b.peukertAt),
		heatCapacity: d(a.cell.HeatCapacity, b.cell.HeatCapacity), conductance: d(a.cell.Conductance, b.cell.Conductance),
		ohmic: apartBy(a.cell.Ohmic, b.cell.Ohmic), fast: apartBy(a.fastOhms, b.fastOhms), slow: apartBy(a.slowOhms, b.slowOhms), entropic: apartBy(a.cell.Entropic, b.cell.Entropic),
	}
	if changed(a.cell.Curve, b.cell.Curve) {
		t.moved = b.cell.Curve
		if thermal {
			t.curve = make(Profile, profileLen+1)
			for i := range t.curve {
				z := float64(i) / profileLen
				t.curve[i] = d(a.cell.Curve.at(z), b.cell.Curve.at(z))
			}
		}
	}
	t.y.charge = t.start
	t.still = !thermal && t.start == 0 && t.perHour == 0 && t.lag == 0 && t.fastTime == 0 && t.slowTime == 0 && t.eb == 0 && t.el == 0 &&
		t.peukertK == 0 && t.peukertAt == 0 && t.fast == nil && t.slow == nil
	return t
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

// point is what the tangents of an element need of a state and its rates, computed once for all of them.
type point struct {
	y                                  state
	amps                               float64
	warm, branch, slowDown, dT         float64 // the factors of temperature, and the change of 1/θ with θ
	inverse                            float64 // 1/θ − 1/θref
	ohmic, ohmicSlope, fast, fastSlope float64
	slow, slowSlope                    float64
	voltSlope, laggedSlope             float64 // of the open-circuit voltage, at the charge and at the surface's
	entropic, entropicSlope            float64
	rate                               float64
	peukert                            bool // counts more than the current
}

// pointAt fills a point from the state; the rates come with carried.
func (e *element) pointAt(y state, amps float64) point {
	p := point{y: y, amps: amps}
	at := min(max(y.temp, -60), 100) + zeroCelsius
	p.inverse = 1/at - e.invRef
	if y.temp > -60 && y.temp < 100 {
		p.dT = -1 / (at * at)
	}
	p.warm, p.branch, p.slowDown = e.factors(y.temp)
	p.ohmic, p.ohmicSlope = e.cell.Ohmic.At(y.charge), e.cell.Ohmic.slope(y.charge)
	p.fast, p.fastSlope = e.fastOhms.at(y.charge), e.fastOhms.slope(y.charge)
	p.slow, p.slowSlope = e.slowOhms.at(y.charge), e.slowOhms.slope(y.charge)
	if e.thermal {
		p.voltSlope, p.laggedSlope = e.cell.Curve.Slope(y.charge), e.cell.Curve.Slope(y.charge-y.lag)
		p.entropic, p.entropicSlope = e.cell.Entropic.at(y.charge), e.cell.Entropic.slope(y.charge)
	}
	p.rate = amps * e.perHour
	if amps < 0 {
		p.rate /= e.putBack
	}
	if e.peukertK != 0 && amps > e.peukertAt {
		p.peukert = true
		p.rate *= math.Pow(amps/e.peukertAt, e.peukertK)
	}
	return p
}

// rates is the change of the rates with the unknown, at a point and with the change y of its state. It is the derivative of
// behind and carry for one cell.
func (t *tangent) rates(e *element, p *point, y *state, r *rates) {
	dWarm := p.warm * (t.eo*p.inverse + e.eo*p.dT*y.temp)
	dBranch := p.branch * (t.eb*p.inverse + e.eb*p.dT*y.temp)
	dSlow := p.slowDown * (t.el*p.inverse + e.el*p.dT*y.temp)
	r.ohms = (p.ohmicSlope*y.charge+t.ohmic.at(p.y.charge))*p.warm + p.ohmic*dWarm
	lagTime := t.lag*p.slowDown + e.lag*dSlow
	fastOhms := (p.fastSlope*y.charge+t.fast.at(p.y.charge))*p.branch + p.fast*dBranch
	slowOhms := (p.slowSlope*y.charge+t.slow.at(p.y.charge))*p.slowDown + p.slow*dSlow
	r.fastTime = t.fastTime*p.branch + e.fastTime*dBranch
	r.slowTime = t.slowTime*p.slowDown + e.slowTime*dSlow
	rate := p.rate * t.perHour / e.perHour
	if p.peukert {
		rate += p.rate * (t.peukertK*math.Log(p.amps/e.peukertAt) - e.peukertK*t.peukertAt/e.peukertAt)
	}
	r.dcharge = -rate
	if e.thermal {
		r.heat = t.heat(e, p, y, r.ohms, fastOhms, slowOhms)
	}
	r.fastTo, r.slowTo = fastOhms*p.amps, slowOhms*p.amps
	r.lagTo = lagTime*p.rate + e.lag*p.slowDown*rate
	r.lagTime = lagTime * lagSettling
}

// heat is the change of the heat.
func (t *tangent) heat(e *element, p *point, y *state, ohms, fastOhms, slowOhms float64) float64 {
	i := p.amps
	out := i * i * ohms
	if r := p.fast * p.branch; r > 0 {
		out += p.y.fast / r * (2*y.fast - p.y.fast/r*fastOhms)
	}
	if r := p.slow * p.slowDown; r > 0 {
		out += p.y.slow / r * (2*y.slow - p.y.slow/r*slowOhms)
	}
	if e.lag > 0 {
		out += i * (p.voltSlope*y.charge - p.laggedSlope*(y.charge-y.lag))
		if t.curve != nil {
			out += i * (t.volts(e.cell.Curve, p.y.charge) - t.volts(e.cell.Curve, p.y.charge-p.y.lag))
		}
	}
	return out - i*(y.temp*p.entropic+(p.y.temp+zeroCelsius)*(p.entropicSlope*y.charge+t.entropic.at(p.y.charge)))
}

// volts is the change of the open-circuit voltage at a charge.
func (t *tangent) volts(c *Curve, z float64) float64 {
	if z >= 0 && z <= 1 {
		return t.curve.At(z)
	}
	return (t.moved.at(z) - c.at(z)) / tangentStep
}

// relaxed is the derivative of relax: of where it ends, with y, g0, g1 and τ.
type relaxed struct{ y, g0, g1, tau float64 }

func relaxSlopes(y, g0, g1, tau, h float64) relaxed {
	x := h / tau
	e1 := -math.Expm1(-x)
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
		s.lag = relaxSlopes(y.lag, from.lagTo, to.lagTo, (from.lagTime+to.lagTime)/2, h)
	}
	if e.fastOhms != nil {
		s.fast = relaxSlopes(y.fast, from.fastTo, to.fastTo, (from.fastTime+to.fastTime)/2, h)
	}
	if e.slowOhms != nil {
		s.slow = relaxSlopes(y.slow, from.slowTo, to.slowTo, (from.slowTime+to.slowTime)/2, h)
	}
	if k := e.cell.Conductance; e.thermal && k > 0 {
		s.temp = relaxSlopes(y.temp, ambient+from.heat/k, ambient+to.heat/k, e.cell.HeatCapacity/k, h)
		s.conductance, s.fromOver, s.toOver = k, from.heat/k, to.heat/k
	}
	return s
}

// advance moves the change of a state over the stride.
func (t *tangent) advance(e *element, s *stride, y state, from, to, base, baseTo *rates) state {
	next := y
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
	if k := s.conductance; k > 0 {
		time := (t.heatCapacity - e.cell.HeatCapacity/k*t.conductance) / k
		next.temp = s.temp.of(y.temp, (from.heat-s.fromOver*t.conductance)/k, (to.heat-s.toOver*t.conductance)/k, time)
	} else {
		c := e.cell.HeatCapacity
		next.temp += ((from.heat+to.heat)/2 - (base.heat+baseTo.heat)/2*t.heatCapacity/c) * s.h / c
	}
	return next
}

// holdWith moves the element and the tangents on under a constant current.
func (e *element) holdWith(ts []tangent, amps, h, ambient float64) {
	y := e.y
	e.behind(&y, &e.now)
	e.carry(&y, &e.now, amps)
	guess, _ := e.advance(y, &e.now, &e.now, ambient, h)
	here, there := e.pointAt(y, amps), e.pointAt(guess, amps)
	first := e.stride(y, &e.now, &e.now, ambient, h)
	e.behind(&guess, &e.then)
	e.carry(&guess, &e.then, amps)
	second := e.stride(y, &e.now, &e.then, ambient, h)
	for k := range ts {
		t := &ts[k]
		if t.still {
			continue
		}
		t.rates(e, &here, &t.y, &t.now)
		moved := t.advance(e, &first, t.y, &t.now, &t.now, &e.now, &e.now)
		t.rates(e, &there, &moved, &t.then)
		t.y = t.advance(e, &second, t.y, &t.now, &t.then, &e.now, &e.then)
	}
	e.y, _ = e.advance(y, &e.now, &e.then, ambient, h)
}

// slopes runs a cell along a prepared log as follow does, and tells the change of each voltage at an observation with each
// of the unknowns that moved the cells.
func (p *prepared) slopes(c *Cell, moved []*Cell, tell func(mark, unknown int, slope float64)) {
	e := newElement(NewPack(c, 1))
	e.y.charge, e.y.temp = p.startCharge(c), p.startTemp
	e.thermal = e.thermal && !p.measured
	ts := make([]tangent, len(moved))
	for k, m := range moved {
		b := newElement(NewPack(m, 1))
		b.y.charge, b.y.temp = p.startCharge(m), p.startTemp
		ts[k] = tangentOf(&e, &b, e.thermal)
	}
	for _, piece := range p.pieces {
		if p.measured {
			e.y.temp = piece.temp
		}
		if piece.seconds > 0 {
			steps := p.steps(&e, piece)
			h := piece.seconds / float64(steps)
			for range steps {
				e.holdWith(ts, piece.amps, h, p.ambient)
			}
		}
		if piece.mark < 0 {
			continue
		}
		amps := p.marks[piece.mark].amps
		at := e.pointAt(e.y, amps)
		surface := e.y.charge - e.y.lag
		volts, slope := c.Curve.at(surface), c.Curve.Slope(surface)
		for k := range ts {
			t := &ts[k]
			var r rates
			t.rates(&e, &at, &t.y, &r)
			dv := slope*(t.y.charge-t.y.lag) - t.y.fast - t.y.slow - r.ohms*amps
			if t.moved != nil {
				dv += (t.moved.at(surface) - volts) / tangentStep
			}
			tell(piece.mark, k, dv)
		}
	}
}

// slopes is the change of the residuals of the voltages, and of the free unknowns themselves, with each of these.
func (f *fit) slopes(free []int, xi []float64, rows int) (*mat.Dense, error) {
	cell, err := f.typical.cell(xi)
	if err != nil {
		return nil, err
	}
	moved := make([]*Cell, len(free))
	at := append([]float64(nil), xi...)
	for k, i := range free {
		at[i] = xi[i] + tangentStep
		if moved[k], err = f.typical.moved(cell, at, i); err != nil {
			return nil, err
		}
		at[i] = xi[i]
	}
	j := mat.NewDense(rows, len(free), nil)
	row := 0
	for _, p := range f.logs {
		p.slopes(cell, moved, func(mark, k int, slope float64) { j.Set(row+mark, k, slope/p.marks[mark].sigma) })
		row += len(p.marks)
	}
	if f.stated.Known() {
		sure := float64(f.stated.U / f.stated.Value)
		base := float64(cell.ResistanceAt(0.5, cell.Reference, statedAfter))
		for k, m := range moved {
			j.Set(row, k, math.Log(float64(m.ResistanceAt(0.5, m.Reference, statedAfter))/base)/sure/tangentStep)
		}
		row++
	}
	for k := range free {
		j.Set(row+k, k, 1)
	}
	return j, nil
}
