package runlog

import "math"

// legKind is what the current does over a leg.
type legKind int8

const (
	legRest legKind = iota
	legDischarge
	legCharge
)

// leg is a time in which the current flows one way, or not at all: the smallest piece that a log is cut along.
type leg struct {
	kind     legKind
	from, to instant // the rows at its ends; the next leg begins with the row that this one ends with
	rows     int     // rows after from, up to and with to

	chargeOut, chargeIn float64 // A s
	energyOut, energyIn float64 // W s; without the intervals that have no voltage
	flowing             float64 // s in which more than the resting current flows
	peak                float64 // greatest |current|
	low, high           float64 // voltage; NaN where there is none
	loaded, last        instant // the first and the last row in which the current flows
}

func (l *leg) net() float64    { return l.chargeOut - l.chargeIn }
func (l *leg) length() float64 { return l.to.t - l.from.t }

// join puts the next leg to this one. What the two are together is told by the net charge, unless next is a rest.
func (l *leg) join(next *leg) {
	if l.kind == legRest {
		l.loaded = next.loaded
	}
	if next.kind != legRest {
		l.last = next.last
	}
	l.to, l.rows = next.to, l.rows+next.rows
	l.chargeOut, l.chargeIn = l.chargeOut+next.chargeOut, l.chargeIn+next.chargeIn
	l.energyOut, l.energyIn = l.energyOut+next.energyOut, l.energyIn+next.energyIn
	l.flowing += next.flowing
	l.peak = max(l.peak, next.peak)
	l.low, l.high = lesser(l.low, next.low), greater(l.high, next.high)
	switch {
	case l.kind == legRest && next.kind == legRest:
	case l.net() >= 0:
		l.kind = legDischarge
	default:
		l.kind = legCharge
	}
}

func lesser(a, b float64) float64 {
	if math.IsNaN(a) || b < a {
		return b
	}
	return a
}

func greater(a, b float64) float64 {
	if math.IsNaN(a) || b > a {
		return b
	}
	return a
}

// Cutting rules; our own choice of figures. The formula log-parts states them.
const (
	restingPart  = 0.005 // part of the greatest current that still counts as rest
	partRest     = 60.0  // a rest as long as this, at the border of two parts, is a part of its own, s
	swingPart    = 0.10  // a flow the other way with less than this part of the greatest is no part of its own,
	topUpPart    = 0.01  // unless it is at least this part of it, all one way,
	topUpTime    = 600.0 // goes on for as long as this, s,
	topUpFlowing = 0.8   // and flows in this part of the time
	blipPart     = 1e-4  // a flow of less than a minute with less than this part of the greatest is a slip of the zero
	mostLegs     = 1024  // legs that are kept; beyond it the smallest are joined
)

// cutter gathers the legs of a log while it streams by, at most mostLegs of them.
type cutter struct {
	legs []leg
	peak float64 // greatest |current| so far
}

// pass takes an interval between two rows that hold a current.
func (c *cutter) pass(p *passage) {
	a, b := math.Abs(p.a.i), math.Abs(p.b.i)
	if c.peak <= restingPart*max(a, b) {
		for k := range c.legs {
			c.legs[k].kind = legRest // beside this, all that came before was the noise of a rest
		}
	}
	c.peak = max(c.peak, max(a, b))
	rest := restingPart * c.peak
	next := leg{from: p.a, to: p.b, rows: 1, peak: max(a, b), low: math.NaN(), high: math.NaN(), loaded: p.a, last: p.b}
	for _, v := range []float64{p.a.v, p.b.v} {
		if !math.IsNaN(v) {
			next.low, next.high = lesser(next.low, v), greater(next.high, v)
		}
	}
	if p.kind != gap {
		next.flow(p, rest)
	}
	if n := len(c.legs); n > 0 && c.legs[n-1].kind == next.kind {
		c.legs[n-1].join(&next)
		return
	}
	if len(c.legs) >= mostLegs {
		c.coarsen()
	}
	c.legs = append(c.legs, next)
}

// ramps takes intervals in succession, as pass takes one: of one kind, they are one with the leg before.
func (c *cutter) ramps(r *ramps) {
	for from := 0; from < len(r.d); {
		n := len(c.legs)
		rest := restingPart * max(c.peak, r.amps.most)
		to := from
		if n > 0 && c.peak > restingPart*r.amps.most {
			switch c.legs[n-1].kind {
			case legDischarge:
				if r.amps.low > rest {
					to = len(r.d)
				}
				for to < len(r.d) && r.i[to] > rest && r.i[to+1] > rest {
					to++
				}
			case legCharge:
				for to < len(r.d) && r.i[to] < -rest && r.i[to+1] < -rest {
					to++
				}
			case legRest:
				rest = restingPart * c.peak
				for to < len(r.d) && math.Abs(r.i[to]) <= rest && math.Abs(r.i[to+1]) <= rest {
					to++
				}
			}
		}
		if to == from {
			c.pass(r.passage(from))
			from++
			continue
		}
		c.legs[n-1].goOn(r, from, to)
		if from == 0 && to == len(r.d) {
			c.peak = max(c.peak, r.amps.most)
		} else {
			c.peak = max(c.peak, boundsOf(r.i[from:to+1]).most)
		}
		from = to
	}
}

// goOn puts intervals to a leg of their kind.
func (l *leg) goOn(r *ramps, from, to int) {
	chargeOut, chargeIn, energyOut, energyIn, flowing := l.chargeOut, l.chargeIn, l.energyOut, l.energyIn, l.flowing
	low, high, peak := l.low, l.high, l.peak
	if math.IsNaN(low) {
		low, high = r.v[from], r.v[from]
	}
	i, v := r.i[from:to+1], r.v[from:to+1]
	d := r.d[from:to]
	amps, volts := r.amps, r.volts
	if len(d) < len(r.d) {
		amps, volts = boundsOf(i), boundsOf(v)
	}
	for k, d := range d { // in the order of the rows, as pass adds them, for what is written to few digits may be a tie
		a, b := i[k], i[k+1]
		if a >= 0 && b >= 0 && v[k] >= 0 && v[k+1] >= 0 {
			chargeOut += (a + b) / 2 * d
			energyOut += (a*v[k] + b*v[k+1]) / 2 * d
		} else {
			out, in := split(a, b, d)
			chargeOut, chargeIn = chargeOut+out, chargeIn+in
			out, in = split(a*v[k], b*v[k+1], d)
			energyOut, energyIn = energyOut+out, energyIn+in
		}
		flowing += d
	}
	low, high, peak = min(low, volts.low), max(high, volts.high), max(peak, amps.most)
	l.chargeOut, l.chargeIn, l.energyOut, l.energyIn = chargeOut, chargeIn, energyOut, energyIn
	l.low, l.high, l.peak = low, high, peak
	l.to, l.rows = r.at(to), l.rows+to-from
	if l.kind == legRest {
		l.loaded = r.at(to - 1)
		return
	}
	l.last, l.flowing = l.to, flowing
	l.kind = legDischarge
	if l.net() < 0 {
		l.kind = legCharge
	}
}

// flow counts what flows in the interval.
func (l *leg) flow(p *passage, rest float64) {
	d := p.length()
	part := func(a, b, va, vb, d float64) {
		out, in := split(a, b, d)
		l.chargeOut, l.chargeIn = l.chargeOut+out, l.chargeIn+in
		if out, in := split(a*va, b*vb, d); !math.IsNaN(va) && !math.IsNaN(vb) {
			l.energyOut, l.energyIn = l.energyOut+out, l.energyIn+in
		}
	}
	if p.kind == ramp {
		part(p.a.i, p.b.i, p.a.v, p.b.v, d)
	} else {
		part(p.a.i, p.a.i, p.a.v, p.a.v, p.at*d)
		part(p.b.i, p.b.i, p.b.v, p.b.v, (1-p.at)*d)
	}
	if l.peak <= rest {
		return // a rest, whose trickle is counted
	}
	l.flowing = d
	way := l.net()
	switch {
	case math.Abs(p.b.i) <= rest || way == 0:
		way = p.a.i
	case math.Abs(p.a.i) <= rest:
		way = p.b.i
	}
	l.kind = legDischarge
	if way < 0 {
		l.kind = legCharge
	}
	if math.Abs(p.a.i) <= rest {
		l.loaded = p.b
	}
	if math.Abs(p.b.i) <= rest {
		l.last = p.a
	}
}

// coarsen joins short rests and small flows to what stands before them until half of the room is free.
func (c *cutter) coarsen() {
	most := 0.0
	for k := range c.legs {
		most = max(most, math.Abs(c.legs[k].net()))
	}
	for short, small := 1.0, 1e-5*most; len(c.legs) > mostLegs/2; short, small = 2*short, 2*small {
		out := c.legs[:1]
		for k := 1; k < len(c.legs); k++ {
			last, next := &out[len(out)-1], &c.legs[k]
			rest := next.kind == legRest
			if last.kind == next.kind || rest && next.length() <= short || !rest && math.Abs(next.net()) <= small {
				kept := last.kind
				last.join(next)
				if kept == legRest && !rest && math.Abs(last.net()) <= small {
					last.kind = legRest
				}
				continue
			}
			out = append(out, *next)
		}
		c.legs = out
	}
}

// swing is a flow of charge one way that stands for itself, from its first leg to its last.
type swing struct{ first, last int }

// settle ends the gathering: what is rest is judged by the greatest current of the whole log, and neighbours of one kind
// become one leg.
func (c *cutter) settle() {
	if len(c.legs) == 0 {
		return
	}
	most := 0.0
	for k := range c.legs {
		most = max(most, math.Abs(c.legs[k].net()))
	}
	out := c.legs[:0]
	for k := range c.legs {
		next := c.legs[k]
		if next.peak <= restingPart*c.peak || next.length() < partRest && math.Abs(next.net()) < blipPart*most {
			next.kind = legRest
		}
		if n := len(out); n > 0 && out[n-1].kind == next.kind {
			out[n-1].join(&next)
			continue
		}
		out = append(out, next)
	}
	c.legs = out
}

// swings finds the flows that stand for themselves: the extremes of the charge that has flowed in all, of which each is
// at least swingPart of the greatest away from the next. The brakes of a vehicle that feed back, and the pulses of a
// test, are no charge.
func (c *cutter) swings() []swing {
	var list []swing
	var sums []leg
	for k := range c.legs {
		l := c.legs[k]
		if l.kind == legRest {
			continue
		}
		if n := len(sums); n > 0 && sums[n-1].kind == l.kind {
			sums[n-1].join(&l)
			list[n-1].last = k
			continue
		}
		list, sums = append(list, swing{k, k}), append(sums, l)
	}
	for len(list) > 1 {
		at := smallest(sums)
		if at < 0 {
			break
		}
		from, to := max(at-1, 0), min(at+1, len(list)-1)
		for k := from + 1; k <= to; k++ {
			sums[from].join(&sums[k])
			list[from].last = list[k].last
		}
		list, sums = append(list[:from+1], list[to+1:]...), append(sums[:from+1], sums[to+1:]...)
		for from > 0 && sums[from-1].kind == sums[from].kind { // the joined flow can have turned
			sums[from-1].join(&sums[from])
			list[from-1].last = list[from].last
			list, sums = append(list[:from], list[from+1:]...), append(sums[:from], sums[from+1:]...)
			from--
		}
	}
	c.begin(list)
	return list
}

// begin moves the borders of the swings: a small flow that a rest parts from the rest of its swing, such as the last braking
// of a ride before the charge, belongs to the swing before.
func (c *cutter) begin(list []swing) {
	for k := 1; k < len(list); k++ {
		s := &list[k]
		sum := c.sum(s.first, s.last)
		for s.first+2 <= s.last && c.legs[s.first+1].kind == legRest && c.legs[s.first+1].length() >= partRest &&
			math.Abs(c.legs[s.first].net()) < 0.05*math.Abs(sum.net()) {
			list[k-1].last = s.first
			s.first += 2
		}
	}
}

// smallest is the least of the flows that are no part of their own, or -1.
func smallest(sums []leg) int {
	most := 0.0
	for k := range sums {
		most = max(most, math.Abs(sums[k].net()))
	}
	at := -1
	for k := range sums {
		q := math.Abs(sums[k].net())
		if q >= swingPart*most || at >= 0 && q >= math.Abs(sums[at].net()) {
			continue
		}
		pure := max(sums[k].chargeOut, sums[k].chargeIn) >= 0.99*(sums[k].chargeOut+sums[k].chargeIn)
		time := sums[k].last.t - sums[k].loaded.t
		if q >= topUpPart*most && pure && time >= topUpTime && sums[k].flowing >= topUpFlowing*time {
			continue
		}
		at = k
	}
	return at
}
