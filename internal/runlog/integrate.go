package runlog

import (
	"math"
	"slices"

	"voltwright/internal/quantity"
)

// instant is a row that holds a current, with the voltage of that moment (NaN where there is none).
type instant struct {
	t, v, i float64
	line    int
	offset  int64
	restart bool    // the interval before it was not measured
	stepAt  float64 // when the program's step began, where one began since the row before; NaN elsewhere
	u       float64 // s: standard uncertainty of t, where the log writes several rows to one stamp
}

func (a instant) power() float64 { return a.v * a.i }

// joiner gives every row that holds a current a voltage: its own, or a straight line between the voltages before and
// after it. It waits for the later voltage over at most joinerWait rows; then, and at the end, the last voltage holds.
type joiner struct {
	pending []instant
	t, v    float64 // the last voltage; v is NaN before the first
	at, in  float64 // the time of the last row with a time in its step, and that time
	ready   func(instant)
}

const joinerWait = 256

func newJoiner(ready func(instant)) *joiner {
	return &joiner{v: math.NaN(), in: math.NaN(), ready: ready}
}

// step says when the step of a row began, where it began since the row before.
func (j *joiner) step(s *Sample) float64 {
	at := math.NaN()
	if !s.Has(StepTime) || s.Loose > 0 {
		return at
	}
	in := s.Values[StepTime]
	if d := s.Time - j.at; !math.IsNaN(j.in) && !s.Restart && in >= 0 && in <= d && in < j.in+d-math.Max(0.01*d, 0.002) {
		at = s.Time - in
	}
	j.at, j.in = s.Time, in
	return at
}

func (j *joiner) add(s *Sample) {
	v, i := s.Values[Voltage], s.Values[Current]
	if !math.IsNaN(v) {
		for _, p := range j.pending {
			p.v = v
			if !math.IsNaN(j.v) && s.Time > j.t {
				p.v = j.v + (v-j.v)*(p.t-j.t)/(s.Time-j.t)
			}
			j.ready(p)
		}
		j.pending = j.pending[:0]
		j.t, j.v = s.Time, v
	}
	stepAt := j.step(s)
	if math.IsNaN(i) {
		return
	}
	row := instant{s.Time, v, i, s.Line, s.Offset, s.Restart, stepAt, s.Loose}
	if !math.IsNaN(v) {
		j.ready(row)
		return
	}
	j.pending = append(j.pending, row)
	if len(j.pending) >= joinerWait {
		j.flush()
	}
}

func (j *joiner) flush() {
	for _, p := range j.pending {
		p.v = j.v
		j.ready(p)
	}
	j.pending = j.pending[:0]
}

// passage is the interval between two successive instants and what was concluded about it.
type passage struct {
	before *instant // the instant before a; nil at the start of the log
	a, b   instant
	kind   passageKind
	at     float64 // where in the interval the current changes: 0 at a, 1 at b; 0.5 where nothing tells
	loose  float64 // s: half the time within which the change can have been
	blind  bool    // as long as a gap, with no load on either side: integrated, but nobody saw what was between
}

type passageKind uint8

const (
	ramp       passageKind = iota // no edge: a straight line
	openEdge                      // an edge whose time the log leaves open
	placedEdge                    // an edge that the logger's own rhythm places
	gap                           // not integrated across
)

func (p *passage) length() float64 { return p.b.t - p.a.t }

// stamped is half the time by which the stamps of its ends can be off, as the half-width of a rectangle.
func (p *passage) stamped() float64 { return math.Sqrt(3) * math.Max(p.a.u, p.b.u) }

// Edge and gap rules. The figures are our own choice; the formula charge-by-trapezoid states them.
const (
	edgeFraction   = 0.10 // a step smaller than this part of the greatest current so far is no edge
	edgeFlatness   = 0.25 // a neighbouring interval may change by this part of the step and still counts as flat
	rhythmWindow   = 8    // intervals that the rhythm is told from
	rhythmShortest = 0.80 // an interval shorter than this part of the rhythm is out of it
	rhythmSpread   = 0.15 // quartile spread, as part of the median, up to which there is a rhythm
	placedLoose    = 0.05 // a placed edge can be off by this part of its interval, at the least
	gapTimes       = 20   // the default gap: this many times the median interval so far …
	gapFloor       = 60.0 // … and longer than this, s
	gapHistory     = 10   // intervals that must have been seen; the first ones are judged together
	leastOpening   = 4    // intervals that a log must have for a gap among its first ones to be told
	gapLoad        = 0.02 // part of the greatest current so far that counts as load
)

// walker turns a stream of instants into passages. It looks one instant ahead.
type walker struct {
	gapLimit  float64    // s; NaN: the default rule
	held      [3]instant // the last three: before, a and b
	count     int        // instants taken so far
	passed    passage    // the one that visit is given
	peak      float64    // greatest |current| so far
	intervals quantiles
	seen      int
	opening   []instant // the first of them, held back until there are enough to tell a gap from
	begun     bool
	first     float64   // the median interval of the opening
	rhythm    []float64 // the last rhythmWindow positive intervals that ended at or before the instant before a
	last      float64   // the interval from before to a
	visit     func(*passage)
}

func newWalker(gapLimit float64, visit func(*passage)) *walker {
	return &walker{gapLimit: gapLimit, visit: visit, last: math.NaN(), intervals: quantiles{bins: make([]float64, quantileBins)}}
}

// add takes the next instant. The first few are held back until a gap among them can be told.
func (w *walker) add(next instant) {
	if w.begun {
		w.take(next)
		return
	}
	if w.opening = append(w.opening, next); len(w.opening) > gapHistory+1 {
		w.begin()
	}
}

func (w *walker) begin() {
	var steps []float64
	for k := 1; k < len(w.opening); k++ {
		if d := w.opening[k].t - w.opening[k-1].t; d > 0 {
			steps = append(steps, d)
		}
		w.peak = math.Max(w.peak, math.Abs(w.opening[k].i))
	}
	w.begun, w.first = true, math.NaN()
	if len(steps) >= leastOpening {
		slices.Sort(steps)
		w.first = median(steps)
	}
	for _, a := range w.opening {
		w.take(a)
	}
	w.opening = nil
}

func (w *walker) take(next instant) {
	w.peak = math.Max(w.peak, math.Abs(next.i))
	if w.count >= 2 {
		w.pass(&next)
	}
	w.held[0], w.held[1], w.held[2] = w.held[1], w.held[2], next
	w.count++
}

// finish passes the last interval.
func (w *walker) finish() {
	if !w.begun {
		w.begin()
	}
	if w.count >= 2 {
		w.pass(nil)
	}
}

func (w *walker) pass(after *instant) {
	p := &w.passed
	*p = passage{a: w.held[1], b: w.held[2], at: 0.5}
	if w.count >= 3 {
		p.before = &w.held[0]
	}
	d := p.length()
	long := longGap(d, w.gapLimit, &w.intervals, w.seen)
	if w.seen < gapHistory && math.IsNaN(w.gapLimit) {
		long = d > gapFloor && d > gapTimes*w.first
	}
	switch {
	case p.b.restart || long && w.underLoad(p):
		p.kind = gap
	case long:
		p.blind = true
	case w.isEdge(p, after) && d == 0: // both sides of the edge, written at one time
		p.kind, p.at = placedEdge, 0
	case w.isEdge(p, after):
		p.kind = openEdge
		p.loose = d / 2
		if u := p.stamped(); u > 0 {
			p.loose = math.Hypot(p.loose, u) // and the rows' times tell nothing of a rhythm
		} else {
			w.place(p)
		}
	}
	w.visit(p)
	if d > 0 {
		w.intervals.add(d, 1)
		w.seen++
	}
	if w.last > 0 {
		if len(w.rhythm) == rhythmWindow {
			w.rhythm = append(w.rhythm[:0], w.rhythm[1:]...)
		}
		w.rhythm = append(w.rhythm, w.last)
	}
	w.last = d
}

// underLoad says whether the load is on at either end.
func (w *walker) underLoad(p *passage) bool {
	load := gapLoad * w.peak
	return math.Abs(p.a.i) > load || math.Abs(p.b.i) > load
}

// longGap is the gap rule: longer than the limit or, where none is stated, more than gapTimes the median interval so far
// and more than gapFloor.
func longGap(d, limit float64, intervals *quantiles, seen int) bool {
	if !math.IsNaN(limit) {
		return d > limit
	}
	if d <= gapFloor || seen < gapHistory {
		return false
	}
	return d > gapTimes*intervals.exceededBy(intervals.weight/2)
}

func (w *walker) isEdge(p *passage, after *instant) bool {
	step := math.Abs(p.b.i - p.a.i)
	if step == 0 || step < edgeFraction*w.peak {
		return false
	}
	if p.before != nil && math.Abs(p.a.i-p.before.i) > edgeFlatness*step {
		return false
	}
	return after == nil || math.Abs(after.i-p.b.i) <= edgeFlatness*step
}

// place tells from the logger's rhythm where an edge stands. A logger that keeps a rhythm and writes a row out of turn
// wrote it because of the event: if the row before the edge came early, the step stands there; if the row after it came
// early, there. Without a rhythm, or with both rows in turn, the time stays open.
//
// Where the log says how long the row after the edge has been in its step, the step's beginning is the edge.
func (w *walker) place(p *passage) {
	d := p.length()
	if at := p.b.stepAt; at >= p.a.t && at <= p.b.t {
		p.kind, p.at, p.loose = placedEdge, (at-p.a.t)/d, placedLoose*d
		return
	}
	if len(w.rhythm) < 3 {
		return
	}
	sorted := slices.Clone(w.rhythm)
	slices.Sort(sorted)
	n := len(sorted)
	middle := median(sorted)
	spread := sorted[(3*n)/4] - sorted[n/4]
	if spread > rhythmSpread*middle {
		return
	}
	early := func(d float64) bool { return d < rhythmShortest*middle && d < sorted[0] }
	switch {
	case early(w.last):
		p.at = 0
	case early(d):
		p.at = 1
	default:
		return
	}
	p.kind = placedEdge
	p.loose = math.Min(d/2, math.Max(spread/2, placedLoose*d))
}

// counter integrates one rate (A, or W) into what leaves and what returns, per second.
type counter struct {
	out, in               total
	trapOut, trapIn       total
	earlierOut, earlierIn total
	laterOut, laterIn     total
	varOut, varIn         total // variance of where the rate was between the samples, and of the digits
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
	half := d / 2
	if p.kind == placedEdge {
		half = p.loose
	}
	half = math.Hypot(half, p.stamped())
	if step := math.Max(b, 0) - math.Max(a, 0); step != 0 {
		c.varOut.add(step * step * half * half / 3)
	}
	if step := math.Min(b, 0) - math.Min(a, 0); step != 0 {
		c.varIn.add(step * step * half * half / 3)
	}
	if a+b > 0 {
		c.varOut.add(digit * digit * d * d)
	} else if a+b < 0 {
		c.varIn.add(digit * digit * d * d)
	}
}

// spec is what is known of the instrument of one channel.
type spec struct {
	accuracy   quantity.Accuracy
	resolution float64
	known      bool
}

// specOf gives what is stated of a channel's instrument. An accuracy in digits of which the size is not stated is not known.
func specOf(o *Options, c Channel) spec {
	for _, i := range o.Instruments {
		if i.Channel == c {
			resolution := i.Resolution
			if !(resolution > 0) || math.IsInf(resolution, 0) {
				resolution = 0
			}
			return spec{i.Accuracy, resolution, i.Accuracy.Digits == 0 || resolution > 0}
		}
	}
	return spec{}
}

// common is the standard uncertainty of a reading from the instrument's accuracy, an error that all samples share; NaN
// where no instrument is stated.
func (s spec) common(reading float64) float64 {
	if !s.known {
		return math.NaN()
	}
	return s.accuracy.Standard(reading, s.resolution)
}

// digit is the standard uncertainty from the last digit: rectangular, half a digit either way.
func (s spec) digit() float64 { return s.resolution / math.Sqrt(12) }

// single is the standard uncertainty of one reading.
func (s spec) single(reading float64) float64 { return math.Hypot(s.common(reading), s.digit()) }

// difference is the standard uncertainty of a difference of two readings of one instrument: what all readings share to the
// same amount cancels, the part in proportion and the last digits stay.
func (s spec) difference(difference float64) float64 {
	if !s.known {
		return math.NaN()
	}
	proportional := quantity.Accuracy{Fraction: s.accuracy.Fraction}
	return math.Hypot(proportional.Standard(difference, 0), math.Sqrt2*s.digit())
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
}

// end counts what the stamp of a row leaves open at which the log, or a gap in it, begins or ends.
func (s *accounts) end(a *instant) {
	if a.u == 0 {
		return
	}
	add := func(c *counter, rate float64) {
		switch x := rate * a.u; {
		case x > 0:
			c.varOut.add(x * x)
		case x < 0:
			c.varIn.add(x * x)
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
	i := (p.a.i + p.b.i) / 2
	uI := s.current.common(i)
	if s.current.known && i != 0 {
		if i > 0 {
			s.sharedOut.add(uI * d)
		} else {
			s.sharedIn.add(uI * d)
		}
	}
	v := (p.a.v + p.b.v) / 2
	if math.IsNaN(v) {
		return
	}
	s.withVoltage++
	digit := math.Hypot(v*s.current.digit(), i*s.voltage.digit())
	s.energy.add(p, p.a.power(), p.b.power(), digit)
	if i == 0 || !s.current.known || !s.voltage.known {
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

const secondsPerHour = 3600

// flowOf turns a counter's seconds into hours and adds the instruments' part.
func flowOf[K quantity.Kind](c *counter, sharedOut, sharedIn float64, edges, open int) Flow[K] {
	pair := func(out, in *total) FlowPair[K] {
		return FlowPair[K]{K(out.value() / secondsPerHour), K(in.value() / secondsPerHour)}
	}
	sampling := FlowPair[K]{K(math.Sqrt(c.varOut.value()) / secondsPerHour), K(math.Sqrt(c.varIn.value()) / secondsPerHour)}
	best := pair(&c.out, &c.in)
	return Flow[K]{
		Counted:   noPair[K](),
		Out:       quantity.Measured[K]{Value: best.Out, U: K(math.Hypot(float64(sampling.Out), sharedOut/secondsPerHour))},
		In:        quantity.Measured[K]{Value: best.In, U: K(math.Hypot(float64(sampling.In), sharedIn/secondsPerHour))},
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
