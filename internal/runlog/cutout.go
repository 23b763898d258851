package runlog

import (
	"math"

	"voltwright/internal/quantity"
)

// Rules by which a cutout's opening is told. The figures are our own choice; the formula cutout-opening states them.
const (
	loadedFraction   = 0.20 // the current must have been at least this part of the greatest so far
	openedFraction   = 0.05 // and fall to at most this part of what it was
	nearLowest       = 0.01 // no opening voltage stated: at most this part above the lowest voltage under load so far,
	wellBelowStart   = 0.03 // at least this part below the first voltage of the log,
	inferredWatch    = 5.0  // and without load for this long at the least, s
	inferredRebound  = 0.01 // and with at least this part of rebound: a pack that is not near its end hardly rebounds
	nearOpening      = 0.01 // stated: at most this part, or k = 2 uncertainties, above it
	collapsedVoltage = 0.50 // a voltage that falls to less than this part with the current was measured behind the cutout
	minimumMargin    = 0.2  // V; common practice, no source
	reboundTail      = 0.05 // a peak in this last part of what was watched is still rising
	fitFewest        = 6    // points that a fit needs
	fitSlowest       = 3    // a time constant beyond this many times what was watched is refused
	lastLoaded       = 3    // samples before the opening of which the lowest voltage under load is taken
	fitLoosest       = 0.5  // a time constant whose standard uncertainty is more than this part of it is refused
	reboundLead      = 64   // samples before the opening that the rebound's own trace shows
)

// cutoutWatch looks for the opening of a low-voltage cutout.
type cutoutWatch struct {
	set           *Cutout
	voltage       spec
	peak          float64
	lowestLoaded  float64
	loaded        bool
	window        *recent[instant]
	event         *opening
	openings      int
	first         float64 // the first voltage of the log
	endsLoaded    bool
	endsAtLowest  bool
	sawDischarge  bool
	openedTooHigh int // load went off, but not at the opening voltage
}

// opening is one candidate with what follows it.
type opening struct {
	t, loose float64 // when, and half the time within which it can have been
	last     instant // the last sample under load
	first    instant // the first after it
	lead     []instant
	peak     float64
	peakT    float64
	end      float64
	closed   bool // load, charge or a gap ended what is watched
	behind   bool
	points   decimator
	fineV    thinner
	fineI    thinner
}

func newCutoutWatch(o *Options, voltage spec) *cutoutWatch {
	return &cutoutWatch{set: o.Cutout, voltage: voltage, lowestLoaded: math.Inf(1), first: math.NaN(), window: newRecent[instant](reboundLead)}
}

func (w *cutoutWatch) stated() bool { return w.set != nil && w.set.Opens.Known() }

func (w *cutoutWatch) begin(a *instant) { w.follow(a) }

// follow takes an instant into what is known of the load.
func (w *cutoutWatch) follow(a *instant) {
	w.peak = max(w.peak, math.Abs(a.i))
	w.window.add(*a)
	if math.IsNaN(w.first) {
		w.first = a.v
	}
	if a.i >= loadedFraction*w.peak && a.i > 0 {
		w.loaded, w.sawDischarge = true, true
		if a.v < w.lowestLoaded {
			w.lowestLoaded = a.v
		}
	}
	w.endsLoaded = a.i > openedFraction*w.peak
	w.endsAtLowest = w.endsLoaded && a.v <= w.lowestLoaded*(1+nearLowest)
}

func (w *cutoutWatch) pass(p *passage) {
	if e := w.event; e != nil && !e.closed {
		w.watch(e, p)
	}
	if w.loaded && !math.IsNaN(p.b.v) {
		w.look(p)
	}
	w.follow(&p.b)
}

// ramps takes intervals in succession, as pass takes one: no load goes off where it stays on, or was off before.
func (w *cutoutWatch) ramps(r *ramps) {
	peak := max(w.peak, r.amps.most)
	on := r.amps.low >= loadedFraction*peak && r.amps.low > 0
	off := !w.loaded && r.amps.most < loadedFraction*w.peak
	if w.event != nil && !w.event.closed || !on && !off {
		for k := range r.d {
			w.pass(r.passage(k))
		}
		return
	}
	n := len(r.d)
	if math.IsNaN(w.first) {
		w.first = r.v[1]
	}
	if on {
		w.loaded, w.sawDischarge = true, true
		for _, v := range r.v[1:] {
			if v < w.lowestLoaded {
				w.lowestLoaded = v
			}
		}
	}
	for k := max(1, n+1-reboundLead); k < n; k++ {
		w.window.add(r.at(k))
	}
	w.peak = peak
	last := r.at(n)
	w.follow(&last)
}

// look asks whether the load went off for good between a and b.
func (w *cutoutWatch) look(p *passage) {
	if p.kind == gap && p.b.restart {
		w.loaded = false
		return
	}
	// The last sample under full load: a logger that averages writes one sample in between.
	strongest := 0.0
	for k := range lastLoaded {
		if s, ok := w.window.back(k); ok {
			strongest = max(strongest, s.i)
		}
	}
	if math.Abs(p.b.i) > openedFraction*max(strongest, loadedFraction*w.peak) {
		return
	}
	w.loaded = false
	if strongest < loadedFraction*w.peak {
		return // it tapered off
	}
	var last instant
	for k := range lastLoaded { // of these the lowest: some loggers write a new voltage beside the old current
		if s, ok := w.window.back(k); ok && s.i >= 0.5*strongest && !math.IsNaN(s.v) && (last.i == 0 || s.v < last.v) {
			last = s
		}
	}
	if last.i == 0 {
		return
	}
	if !w.atOpening(last.v) {
		w.openedTooHigh++
		return
	}
	w.openings++
	if w.event != nil && w.stated() {
		return // the first opening is the one that is told; later ones are counted
	}
	if !w.stated() {
		w.openings = 1
	}
	e := &opening{
		t: p.a.t + p.at*p.length(), loose: p.loose, last: last, first: p.b, lead: w.window.all(),
		peak: p.b.v, peakT: p.b.t, end: p.b.t, behind: p.b.v < collapsedVoltage*last.v,
	}
	if p.kind == ramp {
		e.loose = math.Hypot(p.length()/2, p.stamped())
	}
	for _, s := range e.lead {
		e.fine(&s)
	}
	e.add(&p.b)
	w.event = e
}

// atOpening says whether a voltage under load is where the cutout opens.
func (w *cutoutWatch) atOpening(v float64) bool {
	if !w.stated() {
		return v <= w.lowestLoaded+nearLowest*math.Abs(w.lowestLoaded) && v <= (1-wellBelowStart)*w.first
	}
	opens := float64(w.set.Opens.Value)
	loose := nearOpening * math.Abs(opens)
	for _, u := range []float64{float64(w.set.Opens.U), w.voltage.single(opens)} {
		if !math.IsNaN(u) {
			loose = max(loose, quantity.CoverageFactor*u)
		}
	}
	return v <= opens+loose
}

// watch follows the rebound.
func (w *cutoutWatch) watch(e *opening, p *passage) {
	strong := openedFraction * max(e.last.i, 0)
	switch {
	case p.b.i > loadedFraction*e.last.i: // load again
		e.closed = true
		if !w.stated() {
			w.event = nil // so the load was only switched off
		}
	case p.b.i < -strong, p.kind == gap: // charge
		e.closed = true
	case math.Abs(p.b.i) <= strong && !math.IsNaN(p.b.v):
		e.add(&p.b)
	}
}

func (e *opening) add(b *instant) {
	if b.v > e.peak {
		e.peak, e.peakT = b.v, b.t
	}
	e.end = b.t
	e.points.add(b.t-e.first.t, b.v)
	e.fine(b)
}

func (e *opening) fine(s *instant) {
	if !math.IsNaN(s.v) {
		e.fineV.add(s.t, s.v)
	}
	e.fineI.add(s.t, s.i)
}

// relaxation is V(t) = A − B·exp(−t/τ) with the parameters A, B, τ.
func relaxation(t float64, p, slope []float64) float64 {
	e := math.Exp(-t / p[2])
	slope[0], slope[1], slope[2] = 1, -e, -p[1]*e*t/(p[2]*p[2])
	return p[0] - p[1]*e
}

// fitRebound fits the relaxation to the points of a rebound, x in seconds from the first of them. single is the standard
// uncertainty of one voltage reading. A real cell relaxes in more than one way, so the residual standard deviation counts
// as a doubt of the asymptote beside its covariance.
func fitRebound(x, y []float64, start, single float64) (*ReboundFit, string) {
	n := len(x)
	if n < fitFewest {
		return nil, "There are too few samples after the opening: a fit needs six."
	}
	low, high := y[0], y[0]
	for _, v := range y {
		low, high = min(low, v), max(high, v)
	}
	end := n - 1
	watched := x[end]
	if !(high > low) || !(watched > 0) {
		return nil, "The voltage does not change after the opening."
	}
	rise := y[end] - y[0]
	if !(rise > 0) {
		return nil, "The voltage does not rise after the opening."
	}
	tau := watched / 3
	for k := range x {
		if y[k] >= y[0]+0.632*rise && x[k] > 0 {
			tau = x[k]
			break
		}
	}
	fit, err := curveFit(relaxation, []float64{y[end], rise, tau}, x, y)
	if err != nil {
		return nil, "No exponential settles on the samples after the opening."
	}
	a, b, tau := fit.parameters[0], fit.parameters[1], fit.parameters[2]
	if fit.deviations[2] > fitLoosest*tau {
		return nil, "The samples after the opening are too few or too rough to tell a time constant."
	}
	if !(tau > 0) || !(b > 0) || tau > fitSlowest*watched {
		return nil, "The rebound was not watched long enough to tell where it would end."
	}
	return &ReboundFit{
		Asymptote:    quantity.Of(quantity.Volts(a), quantity.Volts(math.Hypot(math.Hypot(fit.deviations[0], fit.sd), single))),
		Amplitude:    quantity.Of(quantity.Volts(b), quantity.Volts(math.Hypot(fit.deviations[1], fit.sd))),
		TimeConstant: quantity.Of(quantity.Seconds(tau), quantity.Seconds(fit.deviations[2])),
		Start:        quantity.Seconds(start),
		R2:           fit.r2,
		ResidualSD:   quantity.Volts(fit.sd),
		Points:       n,
	}, ""
}

// NewResetMargin compares the highest rebound with the reset point. The margin is needed to be at least 0.2 V (common
// practice, no source) and at least its own expanded uncertainty; an unknown uncertainty leaves the 0.2 V.
func NewResetMargin(reset, rebound quantity.Measured[quantity.Volts]) ResetMargin {
	m := ResetMargin{Margin: quantity.Difference(reset, rebound), Needed: minimumMargin}
	if u := float64(m.Margin.Expanded()); u > minimumMargin {
		m.Needed = quantity.Volts(u)
	}
	if !m.Margin.Known() {
		m.Margin = quantity.Missing[quantity.Volts]() // which is not enough
	}
	m.OK = float64(m.Margin.Value) >= float64(m.Needed)-1e-9
	return m
}

// result gives the event with times counted from the first sample, or nil.
func (w *cutoutWatch) result(start float64, current spec) *CutoutEvent {
	e := w.event
	if e == nil {
		return nil
	}
	if !w.stated() && (e.end-e.t < inferredWatch || !e.behind && e.peak-e.last.v < inferredRebound*e.last.v) {
		w.event = nil
		return nil
	}
	out := &CutoutEvent{
		OpenedAt:      quantity.Of(quantity.Seconds(e.t-start), quantity.Seconds(e.loose/math.Sqrt(3))),
		OpenedVoltage: quantity.Of(quantity.Volts(e.last.v), quantity.Volts(w.voltage.single(e.last.v))),
		Current:       quantity.Of(quantity.Amperes(e.last.i), quantity.Amperes(current.single(e.last.i))),
		Openings:      w.openings,
		Inferred:      !w.stated(),
		ResetPoint:    quantity.Missing[quantity.Volts](),
	}
	out.Rebound = Rebound{Peak: quantity.Missing[quantity.Volts](), TimeToPeak: quantity.Missing[quantity.Seconds]()}
	switch {
	case e.behind:
		out.Rebound.NoFit = "The voltage was measured behind the cutout and vanished with the load."
	default:
		watched := e.end - e.t
		out.Rebound.Watched = quantity.Seconds(watched)
		out.Rebound.Peak = quantity.Of(quantity.Volts(e.peak), quantity.Volts(w.voltage.single(e.peak)))
		out.Rebound.TimeToPeak = quantity.Of(quantity.Seconds(e.peakT-e.t), quantity.Seconds(e.loose/math.Sqrt(3)))
		out.Rebound.StillRising = e.peakT-e.t >= (1-reboundTail)*watched && e.peak > e.first.v
		out.Rebound.Fit, out.Rebound.NoFit = fitRebound(e.points.x, e.points.y, e.first.t-start, w.voltage.single(e.peak))
	}
	if w.set != nil && w.set.Threshold.Known() {
		opens := out.OpenedVoltage
		if w.set.Opens.Known() {
			opens = w.set.Opens
		}
		out.ResetPoint = quantity.Sum(opens, w.set.Threshold)
	}
	out.Margin = NewResetMargin(out.ResetPoint, out.Rebound.Peak)
	return out
}

// whyNone says why no opening was seen.
func (w *cutoutWatch) whyNone() string {
	switch {
	case !w.sawDischarge:
		return noDischarge
	case w.endsLoaded && w.endsAtLowest:
		return "The log ends under load at its lowest voltage, so no opening is seen."
	case w.endsLoaded:
		return "The log ends under load, so no opening is seen."
	case w.stated():
		return "The load was never cut off at or below the voltage at which the cutout opens."
	}
	return "The load was not cut off at the lowest voltage of the run."
}
