package runlog

import (
	"math"

	"voltwright/internal/quantity"
)

// Rules for sag and for resistance from current steps. The figures are our own choice; the formulas sag and
// resistance-from-steps state them.
const (
	settleLongest  = 10.0 // s: what happens later is discharge and slow relaxation
	settleShortest = 1.0  // s: what comes sooner has not settled
	settleFlat     = 0.10 // part of the step by which the current may change while it settles
	voltageLeads   = 0.20 // part of the fall that, if it comes before the current moves, shows that voltage is logged first
	restFraction   = 0.05 // a current below this part of the greatest so far is rest
	voltageSteps   = 3    // a fall must be this many of the last digits in which the voltage is written
)

// sagWatch finds the greatest fall of the voltage from rest within settleLongest of a load that comes on.
type sagWatch struct {
	peak     float64 // greatest |current| so far
	last     instant // the instant before
	earlier  instant // and the one before that
	lead     float64 // the earlier voltage, if that was at rest as well, for the load that is watched; else NaN
	any      bool
	watching bool
	from     float64 // the voltage at rest before this load
	since    float64
	lowest   float64
	greatest float64 // NaN: none yet
	before   float64 // of the greatest: the voltage at rest
	after    float64 // of the greatest: the lowest under load
	begin    instant // of the load that is watched, the first row
	reached  instant // the row with the lowest voltage of it
	stamps   float64 // V, of the greatest: what the stamps leave open of when it was read
}

func newSagWatch() *sagWatch {
	nan := math.NaN()
	return &sagWatch{lead: nan, greatest: nan, before: nan, after: nan}
}

func (w *sagWatch) add(a *instant) {
	if math.IsNaN(a.v) {
		return
	}
	w.peak = max(w.peak, math.Abs(a.i))
	rest := func(i float64) bool { return math.Abs(i) <= restFraction*w.peak }
	loaded := a.i > 0 && !rest(a.i)
	if w.watching && (!loaded || a.t-w.since > settleLongest) {
		w.close()
	}
	switch {
	case loaded && w.any && rest(w.last.i): // also where noise was taken for a load until this one showed what a load is
		w.close()
		w.watching, w.from, w.lead, w.since, w.lowest = true, w.last.v, math.NaN(), a.t, a.v
		w.begin, w.reached = *a, *a
		if w.earlier.v != 0 && rest(w.earlier.i) {
			w.lead = w.earlier.v
		}
	case w.watching && a.v < w.lowest:
		w.lowest, w.reached = a.v, *a
	}
	w.earlier, w.last, w.any = w.last, *a, true
}

// follow takes plain rows, as add takes one: under a load that goes on nothing begins.
func (w *sagWatch) follow(r *rows) {
	k := r.from
	steady := func() bool {
		return w.any && !w.watching && w.last.i > 0 && w.last.i > restFraction*max(w.peak, r.bounds[Current].most)
	}
	for ; k < r.to && !(steady() && r.bounds[Current].low > restFraction*max(w.peak, r.bounds[Current].most)); k++ {
		a := instant{t: r.time[k], v: r.values[Voltage][k], i: r.values[Current][k], u: r.loose[k]}
		w.add(&a)
	}
	if k == r.to {
		return
	}
	w.peak = max(w.peak, r.bounds[Current].most)
	at := func(k int) instant { return instant{t: r.time[k], v: r.values[Voltage][k], i: r.values[Current][k]} }
	w.earlier = w.last
	if k < r.to-1 {
		w.earlier = at(r.to - 2)
	}
	w.last = at(r.to - 1)
}

func (w *sagWatch) close() {
	if !w.watching {
		return
	}
	w.watching = false
	if w.lead-w.from > voltageLeads*(w.lead-w.lowest) { // the voltage was logged before the current
		w.from = w.lead
	}
	if sag := w.from - w.lowest; !(sag <= w.greatest) {
		w.greatest, w.before, w.after, w.stamps = sag, w.from, w.lowest, 0
		if d := w.reached.t - w.begin.t; d > 0 { // by the mean slope until then
			w.stamps = (w.begin.v - w.lowest) / d * math.Hypot(w.begin.u, w.reached.u)
		}
	}
}

// stepWatch measures the resistance at every current step that holds long enough.
type stepWatch struct {
	peak         float64
	grain        decimalGrain // of the voltage
	open         bool
	start, first instant // the instants on either side of the step
	beforeV      float64
	latest       instant // the last one that qualifies; t is 0 before any
	slope        float64 // V/s there
	has          bool
	steps        [3]stepKind // by kind, the most telling first
	refused      int
	tooSlow      int
	wrongWay     int
	tooSmall     int
	notHeld      int
}

// stepKind gathers the steps of one kind. A load that comes on after a rest or a steadier load tells most. A charge that
// comes on comes second; when a load goes off, the cell has often not settled before, so those are used only where
// there are no others.
type stepKind struct {
	words         string
	listed        []ResistanceStep
	count         int
	sumOfDrops    float64
	sumOfSteps    float64
	resistances   []float64
	varTimes      float64 // Ω²: what the stamps leave open of when the voltage was read, summed
	settlingTimes []float64
}

func (k *stepKind) add(s ResistanceStep, fall, stamps float64) {
	k.count++
	if len(k.listed) == MaxListed {
		return
	}
	k.varTimes += stamps * stamps
	k.sumOfDrops += math.Abs(fall)
	k.sumOfSteps += math.Abs(float64(s.After - s.Before))
	k.resistances = append(k.resistances, float64(s.Resistance))
	k.settlingTimes = append(k.settlingTimes, float64(s.Settle))
	k.listed = append(k.listed, s)
}

func newStepWatch() *stepWatch {
	w := &stepWatch{}
	for k, words := range []string{"rise of the load", "rise of the charge current", "fall of the current"} {
		w.steps[k].words = words
	}
	return w
}

// pass takes a passage after the accounts have; b is then followed.
func (w *stepWatch) pass(p *passage) {
	w.peak = max(w.peak, max(math.Abs(p.a.i), math.Abs(p.b.i)))
	for _, v := range []float64{p.a.v, p.b.v} {
		if !math.IsNaN(v) {
			w.grain.add(v)
		}
	}
	if p.kind == openEdge || p.kind == placedEdge {
		w.close()
		if math.IsNaN(p.a.v) || math.IsNaN(p.b.v) {
			return
		}
		w.open, w.start, w.first, w.has = true, p.a, p.b, false
		w.beforeV = p.a.v
		if p.before != nil && p.a.t-p.before.t <= settleLongest && !math.IsNaN(p.before.v) {
			if fall := p.before.v - p.b.v; math.Abs(p.a.v-p.before.v) > voltageLeads*math.Abs(fall) && sameWay(fall, p.before.v-p.a.v) {
				w.beforeV = p.before.v
			}
		}
		return
	}
	if !w.open {
		return
	}
	b := &p.b
	step := w.first.i - w.start.i
	if p.kind == gap || b.t-w.start.t > settleLongest || math.Abs(b.i-w.first.i) > settleFlat*math.Abs(step) {
		w.close()
		return
	}
	if !math.IsNaN(b.v) && b.t-w.first.t > 0 && b.t-w.start.t >= settleShortest {
		w.latest, w.has = *b, true
		w.slope = (b.v - w.first.v) / (b.t - w.first.t)
	}
}

// ramps takes intervals in succession, as pass takes one: without an edge no step begins.
func (w *stepWatch) ramps(r *ramps) {
	k := 0
	for ; k < len(r.d) && w.open; k++ {
		w.pass(r.passage(k))
	}
	w.peak = max(w.peak, r.amps.most)
	w.grain.addEach(r.v[k:], r.written)
}

func (w *stepWatch) close() {
	if !w.open {
		return
	}
	w.open = false
	if !w.has {
		w.refused++
		if w.first.t-w.start.t >= settleShortest {
			w.tooSlow++
		} else {
			w.notHeld++
		}
		return
	}
	step := w.latest.i - w.start.i
	fall := w.beforeV - w.latest.v
	switch {
	case math.Abs(fall) < voltageSteps*w.grain.size()*(1-1e-9):
		w.refused++
		w.tooSmall++
		return
	case !(fall/step > 0):
		w.refused++
		w.wrongWay++
		return
	}
	kind := 2
	if math.Abs(w.latest.i) > math.Abs(w.start.i) {
		kind = 0
		if w.latest.i < 0 {
			kind = 1
		}
	}
	w.steps[kind].add(ResistanceStep{
		At: quantity.Seconds(w.start.t), Settle: quantity.Seconds(w.latest.t - w.start.t),
		Before: quantity.Amperes(w.start.i), After: quantity.Amperes(w.latest.i), Resistance: quantity.Ohms(fall / step),
	}, fall, w.slope*math.Hypot(w.first.u, w.latest.u)/step)
}

// result gives the median of the steps.
//
// u² = (1.2533·s/√n)² + R²·((u(ΔV)/ΔV)² + (u(ΔI)/ΔI)²): the standard error of a median for normal scatter, Type A; and the
// instruments at the mean fall and the mean step, of which what all readings share cancels in the differences. One step has
// no Type A part. Where rows share a stamp, the mean slope of the voltage since the step times the uncertainty of the time
// is added: r.m.s. over the steps, as a clock errs alike at all of them.
func (w *stepWatch) result(voltage, current spec) Resistance {
	w.close()
	out := Resistance{Measured: quantity.Missing[quantity.Ohms](), Refused: w.refused, Settle: quantity.Seconds(math.NaN())}
	var used *stepKind
	for k := range w.steps {
		if w.steps[k].count > 0 {
			used = &w.steps[k]
			break
		}
	}
	if used == nil {
		return out
	}
	out.Steps, out.Kind, out.Listed = used.count, used.words, used.listed
	n := len(used.resistances)
	r := median(used.resistances)
	var m moments
	for _, x := range used.resistances {
		m.add(x)
	}
	typeA := 0.0
	if n > 1 {
		typeA = medianError * m.sd() / math.Sqrt(float64(n))
	}
	fall, step := used.sumOfDrops/float64(n), used.sumOfSteps/float64(n)
	typeB := r * math.Hypot(voltage.difference(fall)/fall, current.difference(step)/step)
	typeB = math.Hypot(typeB, math.Sqrt(used.varTimes/float64(n)))
	out.Measured = quantity.Of(quantity.Ohms(r), quantity.Ohms(math.Hypot(typeA, typeB)))
	out.Scatter = quantity.Ohms(typeA)
	out.Settle = quantity.Seconds(median(used.settlingTimes))
	return out
}

// medianError is √(π/2): the standard error of a median is this times that of a mean, for normal scatter.
const medianError = 1.2533141373155

// whyNone says why no step qualified.
func (w *stepWatch) whyNone() string {
	switch {
	case w.refused == 0:
		return "The current has no step between two steady values."
	case w.tooSlow >= w.notHeld && w.tooSlow >= w.wrongWay && w.tooSlow >= w.tooSmall:
		return "The samples are too far apart: none falls between 1 s and 10 s after a current step."
	case w.notHeld >= w.wrongWay && w.notHeld >= w.tooSmall:
		return "No current step is followed by a second of steady current."
	case w.tooSmall >= w.wrongWay:
		return "The voltage changes at the current steps are too near its last digit."
	}
	return "The voltage moves the wrong way at the current steps; the rows may be out of step."
}
