package runlog

import (
	"math"

	"voltwright/internal/quantity"
)

// counter integrates one rate (A, or W) into what leaves and what returns, per second.
type counter struct {
	out, in               total
	trapOut, trapIn       total
	earlierOut, earlierIn total
	laterOut, laterIn     total
	varOut, varIn         causes // variance of where the rate was between the samples, and of the digits
	rampOut, rampIn       total  // over ramps that came together, which all of the others hold as well
}

// split gives the integral of a straight line from a to b over d, its positive and its negative part.
func split(a, b, d float64) (out, in float64) {
	switch {
	case a >= 0 && b >= 0:
		return (a + b) / 2 * d, 0
	case a <= 0 && b <= 0:
		return 0, -(a + b) / 2 * d
	}
	cross := a / (a - b) // part of the interval before the line crosses zero
	first, second := a/2*cross*d, b/2*(1-cross)*d
	if a > 0 {
		return first, -second
	}
	return second, -first
}

// add counts a passage whose rate is a at its start and b at its end; digit is the standard uncertainty of one rate from
// the last digit alone.
func (c *counter) add(p *passage, a, b, digit float64) {
	if p.kind == gap || math.IsNaN(a) || math.IsNaN(b) {
		return
	}
	d := p.length()
	trapOut, trapIn := split(a, b, d)
	c.trapOut.add(trapOut)
	c.trapIn.add(trapIn)
	if p.kind == ramp {
		c.out.add(trapOut)
		c.in.add(trapIn)
		c.earlierOut.add(trapOut)
		c.earlierIn.add(trapIn)
		c.laterOut.add(trapOut)
		c.laterIn.add(trapIn)
	} else {
		earlierOut, earlierIn := split(b, b, d)
		laterOut, laterIn := split(a, a, d)
		c.earlierOut.add(earlierOut)
		c.earlierIn.add(earlierIn)
		c.laterOut.add(laterOut)
		c.laterIn.add(laterIn)
		c.out.add((1-p.at)*earlierOut + p.at*laterOut)
		c.in.add((1-p.at)*earlierIn + p.at*laterIn)
	}
	// Between two samples the rate can have followed any course from a to b; the extremes are the steps at either
	// end, so the error is rectangular with half-width |b − a|·d/2 (JCGM 100:2008, 4.3.7). A placed edge can only
	// move by what is loose. Intervals err independently: the logger's clock knows nothing of the load. Where rows share
	// a stamp, the change itself can stand elsewhere.
	half, why := d/2, betweenRows
	switch p.kind {
	case openEdge:
		why = openEdges
	case placedEdge:
		half, why = p.loose, placedEdges
	}
	stamped := p.stamped()
	if step := max(b, 0) - max(a, 0); step != 0 {
		c.varOut[why].add(step * step * half * half / 3)
		c.varOut[stamps].add(step * step * stamped * stamped / 3)
	}
	if step := min(b, 0) - min(a, 0); step != 0 {
		c.varIn[why].add(step * step * half * half / 3)
		c.varIn[stamps].add(step * step * stamped * stamped / 3)
	}
	if a+b > 0 {
		c.varOut[lastDigits].add(digit * digit * d * d)
	} else if a+b < 0 {
		c.varIn[lastDigits].add(digit * digit * d * d)
	}
}

// ramps counts intervals in succession, as add counts one: rates has one more. digits are the standard uncertainties of the rates from
// the last digit alone, nil where they are nothing.
func (c *counter) ramps(rates, d, digits []float64) {
	for k := 0; k < len(d); {
		n, sum, squares := oneWay(rates[k:], d[k:min(k+summedRows, len(d))])
		if n > 0 {
			c.oneWay(&sum, squares)
			k += n
			continue
		}
		a, b, d := rates[k], rates[k+1], d[k]
		o, i := split(a, b, d)
		c.rampOut.add(o)
		c.rampIn.add(i)
		step := max(b, 0) - max(a, 0)
		c.varOut[betweenRows].add(step * step * d * d / 12)
		step = min(b, 0) - min(a, 0)
		c.varIn[betweenRows].add(step * step * d * d / 12)
		k++
	}
	for k, digit := range digits {
		if sum := rates[k] + rates[k+1]; sum > 0 {
			c.varOut[lastDigits].add(digit * digit * d[k] * d[k])
		} else if sum < 0 {
			c.varIn[lastDigits].add(digit * digit * d[k] * d[k])
		}
	}
}

// oneWay counts ramps over which the rate goes one way: their integral, and the sum of the squares of half of what it moves by times
// the time.
func (c *counter) oneWay(sum *total, squares float64) {
	if sum.sum > 0 {
		c.rampOut = *sumOf(&c.rampOut, sum)
		c.varOut[betweenRows].add(squares / 3)
	} else {
		c.rampIn = *sumOf(&c.rampIn, &total{-sum.sum, -sum.lost})
		c.varIn[betweenRows].add(squares / 3)
	}
}

// oneWay sums up the ramps at the beginning over which the rate goes one way, and says how many these are.
func oneWay(rates, d []float64) (n int, sum total, squares float64) {
	rates = rates[:len(d)+1]
	a := rates[0]
	out := a > 0 || a == 0 && rates[1] >= 0
	for n < len(d) {
		b := rates[n+1]
		if out && b < 0 || !out && b > 0 {
			return n, sum, squares
		}
		half := d[n] / 2
		step := (b - a) * half
		sum.add((a + b) * half)
		squares += step * step
		a = b
		n++
	}
	return n, sum, squares
}

// accounts holds the charge and the energy of a run.
//
// Model. Q = ∫I dt and E = ∫V·I dt. The instruments' accuracy is an error that all samples share (Type B, rectangular):
// u(Q) = ∫u(I) dt, u(E)² = (∫|V|·u(I) dt)² + (∫|I|·u(V) dt)²; it does not average out. What the samples do not share, the last
// digit and the course of the current between two samples, adds in quadrature (JCGM 100:2008, 5.1.2).
type accounts struct {
	current, voltage         spec
	charge, energy           counter
	sharedOut, sharedIn      total // ∫u(I) dt
	fromIOut, fromIIn        total // ∫|V| u(I) dt
	fromVOut, fromVIn        total // ∫|I| u(V) dt
	edges, open, withVoltage int
	last                     instant

	power  [blockRows + 3]float64    // of the rows of some ramps
	digits [2][blockRows + 3]float64 // what the last digits leave open of their current and power
}

// end counts what the stamp of a row leaves open at which the log, or a gap in it, begins or ends.
func (s *accounts) end(a *instant) {
	if a.u == 0 {
		return
	}
	add := func(c *counter, rate float64) {
		switch x := rate * a.u; {
		case x > 0:
			c.varOut[stamps].add(x * x)
		case x < 0:
			c.varIn[stamps].add(x * x)
		}
	}
	add(&s.charge, a.i)
	add(&s.energy, a.power())
}

func (s *accounts) add(p *passage) {
	if p.before == nil || p.kind == gap {
		s.end(&p.a)
	}
	if s.last = p.b; p.kind == gap {
		s.end(&p.b)
		return
	}
	switch p.kind {
	case openEdge:
		s.edges++
		s.open++
	case placedEdge:
		s.edges++
	}
	d := p.length()
	s.charge.add(p, p.a.i, p.b.i, s.current.digit())
	i, v := (p.a.i+p.b.i)/2, (p.a.v+p.b.v)/2
	s.share(v, i, d)
	if math.IsNaN(v) {
		return
	}
	s.withVoltage++
	digit := math.Hypot(v*s.current.digit(), i*s.voltage.digit())
	s.energy.add(p, p.a.power(), p.b.power(), digit)
}

// share counts what all readings of an instrument may be off by over an interval of this mean voltage, which may be absent, and current.
func (s *accounts) share(v, i, d float64) {
	if i == 0 || !s.current.known {
		return
	}
	uI := s.current.common(i)
	if i > 0 {
		s.sharedOut.add(uI * d)
	} else {
		s.sharedIn.add(uI * d)
	}
	if math.IsNaN(v) || !s.voltage.known {
		return
	}
	fromI, fromV := math.Abs(v)*uI*d, math.Abs(i)*s.voltage.common(v)*d
	if i > 0 {
		s.fromIOut.add(fromI)
		s.fromVOut.add(fromV)
	} else {
		s.fromIIn.add(fromI)
		s.fromVIn.add(fromV)
	}
}

// ramps takes intervals in succession, as add takes one.
func (s *accounts) ramps(r *ramps) {
	n := len(r.d)
	s.last = r.at(n)
	s.withVoltage += n
	if flow := r.flow(); flow.whole && !s.current.known && s.current.digit() == 0 && s.voltage.digit() == 0 {
		s.charge.oneWay(&flow.charge, flow.chargeSquares)
		s.energy.oneWay(&flow.energy, flow.energySquares)
		return
	}
	for k, i := range r.i {
		s.power[k] = i * r.v[k]
	}
	var amps, watts []float64
	if s.current.digit() > 0 || s.voltage.digit() > 0 {
		amps, watts = s.digits[0][:n], s.digits[1][:n]
		for k := range r.d {
			v, i := (r.v[k]+r.v[k+1])/2, (r.i[k]+r.i[k+1])/2
			amps[k], watts[k] = s.current.digit(), math.Hypot(v*s.current.digit(), i*s.voltage.digit())
		}
	}
	s.charge.ramps(r.i, r.d, amps)
	s.energy.ramps(s.power[:n+1], r.d, watts)
	if s.current.known {
		for k, d := range r.d {
			s.share((r.v[k]+r.v[k+1])/2, (r.i[k]+r.i[k+1])/2, d)
		}
	}
}

const secondsPerHour = 3600

// flowOf turns a counter's seconds into hours and adds the instruments' part.
func flowOf[K quantity.Kind](c *counter, sharedOut, sharedIn float64, edges, open int) Flow[K] {
	pair := func(out, in *total) FlowPair[K] {
		out, in = sumOf(out, &c.rampOut), sumOf(in, &c.rampIn)
		return FlowPair[K]{K(out.value() / secondsPerHour), K(in.value() / secondsPerHour)}
	}
	sampling := FlowPair[K]{K(math.Sqrt(c.varOut.sum()) / secondsPerHour), K(math.Sqrt(c.varIn.sum()) / secondsPerHour)}
	best := pair(&c.out, &c.in)
	return Flow[K]{
		Counted:   noPair[K](),
		Out:       quantity.Of(best.Out, K(math.Hypot(float64(sampling.Out), sharedOut/secondsPerHour))),
		In:        quantity.Of(best.In, K(math.Hypot(float64(sampling.In), sharedIn/secondsPerHour))),
		Trapezoid: pair(&c.trapOut, &c.trapIn),
		Earlier:   pair(&c.earlierOut, &c.earlierIn),
		Later:     pair(&c.laterOut, &c.laterIn),
		Sampling:  sampling,
		Edges:     edges,
		OpenEdges: open,
	}
}

func (s *accounts) chargeFlow() Flow[quantity.AmpereHours] {
	out, in := s.sharedOut.value(), s.sharedIn.value()
	if !s.current.known {
		out, in = math.NaN(), math.NaN()
	}
	return flowOf[quantity.AmpereHours](&s.charge, out, in, s.edges, s.open)
}

func (s *accounts) energyFlow() Flow[quantity.WattHours] {
	out, in := math.Hypot(s.fromIOut.value(), s.fromVOut.value()), math.Hypot(s.fromIIn.value(), s.fromVIn.value())
	if !s.current.known || !s.voltage.known {
		out, in = math.NaN(), math.NaN()
	}
	return flowOf[quantity.WattHours](&s.energy, out, in, s.edges, s.open)
}
