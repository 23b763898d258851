package runlog

import (
	"math"
	"slices"
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
	if d := s.Time - j.at; !math.IsNaN(j.in) && !s.Restart && in >= 0 && in <= d && in < j.in+d-max(0.01*d, 0.002) {
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
func (p *passage) stamped() float64 { return math.Sqrt(3) * max(p.a.u, p.b.u) }

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
	ramps     func(*ramps) // of many passages; nil where visit takes them one by one
	block     pacedRows
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
		w.peak = max(w.peak, math.Abs(w.opening[k].i))
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
	w.peak = max(w.peak, math.Abs(next.i))
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
	w.keepRhythm(w.last)
	w.last = d
}

// keepRhythm takes an interval into the rhythm.
func (w *walker) keepRhythm(d float64) {
	if !(d > 0) {
		return
	}
	if len(w.rhythm) == rhythmWindow {
		w.rhythm = append(w.rhythm[:0], w.rhythm[1:]...)
	}
	w.rhythm = append(w.rhythm, d)
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
	p.loose = min(d/2, max(spread/2, placedLoose*d))
}
