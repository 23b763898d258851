package runlog

import (
	"math"

	"voltwright/internal/quantity"
)

// shortest is the time that standing or moving must last to count as such. A shorter one is a flicker of the signal: it
// is neither a stop nor does it end one. Our own choice.
const shortest = 1.0

// standingSpeed is the speed below which a vehicle with a speed column stands, in m/s. Our own choice.
const standingSpeed = 0.05

// stopWatch finds the stops in a signal that is above or below one threshold.
type stopWatch struct {
	threshold float64
	started   bool
	standing  bool    // the state that is settled
	since     float64 // when it began
	turned    float64 // when the signal left it; NaN while it agrees
	stops     []Stop
	count     int
	stood     total
	takenOut  total
	looseAll  total   // variance of the ends of all stops, s²
	loose     total   // of those that were taken out
	looseFrom float64 // of the current state's beginning
	looseTurn float64
	pause     float64
}

func newStopWatch(threshold, pauseAfter float64) *stopWatch {
	return &stopWatch{threshold: threshold, turned: math.NaN(), pause: pauseAfter}
}

func (w *stopWatch) below(x float64) bool { return math.Abs(x) < w.threshold }

// begin sets the state at the first sample.
func (w *stopWatch) begin(t, x float64) {
	w.started, w.standing, w.since = true, w.below(x), t
}

// pass follows the signal to value x; where it crosses, it does so at the time of crossing, give or take loose.
func (w *stopWatch) pass(crossing, loose, x float64) {
	standing := w.below(x)
	agrees := standing == w.standing
	switch {
	case agrees && math.IsNaN(w.turned):
	case agrees: // back again
		if crossing-w.turned <= shortest+1e-9 {
			w.turned = math.NaN() // a flicker
			return
		}
		w.settle()
		w.turned, w.looseTurn = crossing, loose // and it has turned once more
	case math.IsNaN(w.turned):
		w.turned, w.looseTurn = crossing, loose
	}
}

// settle ends the settled state at the turn.
func (w *stopWatch) settle() {
	w.close(w.turned, w.looseTurn)
	w.standing = !w.standing
	w.since, w.looseFrom = w.turned, w.looseTurn
	w.turned = math.NaN()
}

func (w *stopWatch) close(end, loose float64) {
	length := end - w.since
	if !w.standing || length <= shortest+1e-9 {
		return
	}
	out := length > w.pause+1e-9
	variance := (w.looseFrom*w.looseFrom + loose*loose) / 3 // each end rectangular
	w.count++
	w.stood.add(length)
	w.looseAll.add(variance)
	if out {
		w.takenOut.add(length)
		w.loose.add(variance)
	}
	if len(w.stops) < MaxListed {
		w.stops = append(w.stops, Stop{quantity.Seconds(w.since), quantity.Seconds(length), out, ""})
	}
}

func (w *stopWatch) finish(t float64) {
	if !w.started {
		return
	}
	if !math.IsNaN(w.turned) && t-w.turned > shortest+1e-9 {
		w.settle()
	}
	w.close(t, 0)
}

// The default idle threshold is not known before the log has been read, because it follows from the current that the log
// reaches. So the stops are found for every rung of a ladder of thresholds at once, 1–2–5 in each decade, and the rung is
// chosen at the end: the greatest that is not above idleFraction of the current at or above which half of the charge
// flowed. That current is not moved by a wrong sample, nor by how long the vehicle stood.
const idleFraction = 0.05

var idleLadder = []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100}

// stopRule watches the current and, where there is one, the speed.
type stopRule struct {
	byCurrent []*stopWatch
	bySpeed   *stopWatch
	speeds    int
	lastTime  float64
}

func newStopRule(o *Options) *stopRule {
	pause := float64(o.PauseAfter)
	r := &stopRule{bySpeed: newStopWatch(standingSpeed, pause)}
	if idle := float64(o.Idle); idle > 0 && !math.IsInf(idle, 0) {
		r.byCurrent = []*stopWatch{newStopWatch(idle, pause)}
		return r
	}
	for _, rung := range idleLadder {
		r.byCurrent = append(r.byCurrent, newStopWatch(rung, pause))
	}
	return r
}

func (r *stopRule) current(p *passage) {
	for _, w := range r.byCurrent {
		if !w.started {
			w.begin(p.a.t, p.a.i)
		}
		crossing := p.a.t + p.at*p.length()
		loose := p.loose
		if p.kind == ramp {
			loose = math.Hypot(p.length()/2, p.stamped())
		}
		w.pass(crossing, loose, p.b.i)
	}
}

// ramps takes intervals in succession, as current takes one: only a current that crosses a threshold is anything to its watch.
func (r *stopRule) ramps(of *ramps) {
	for _, w := range r.byCurrent {
		if !w.started {
			w.begin(of.t[0], of.i[0])
		}
	}
	if of.amps.most < r.byCurrent[0].threshold {
		return
	}
	next := r.above(math.Abs(of.i[0])) // the rung above the current
	low, high := r.between(next)
	for k, i := range of.i[1:] {
		if i = math.Abs(i); i >= low && i < high {
			continue
		}
		at := r.above(i)
		for _, w := range r.byCurrent[min(at, next):max(at, next)] {
			d := of.d[k]
			w.pass(of.t[k]+0.5*d, d/2, i)
		}
		next = at
		low, high = r.between(next)
	}
}

// above is the first rung of which a magnitude is below the threshold.
func (r *stopRule) above(size float64) int {
	k := 0
	for k < len(r.byCurrent) && !(size < r.byCurrent[k].threshold) {
		k++
	}
	return k
}

// between is the range of magnitudes below a rung and not below the one before.
func (r *stopRule) between(rung int) (low, high float64) {
	high = math.Inf(1)
	if rung > 0 {
		low = r.byCurrent[rung-1].threshold
	}
	if rung < len(r.byCurrent) {
		high = r.byCurrent[rung].threshold
	}
	return low, high
}

func (r *stopRule) speed(t, v, loose float64) {
	r.speeds++
	if !r.bySpeed.started {
		r.bySpeed.begin(t, v)
	} else {
		half := (t - r.lastTime) / 2
		r.bySpeed.pass(r.lastTime+half, math.Hypot(half, math.Sqrt(3)*loose), v)
	}
	r.lastTime = t
}

// choose ends the watch and gives the one that holds, or nil where the log has neither speed nor current.
func (r *stopRule) choose(end, usual float64, hasCurrent bool) *stopWatch {
	if r.speeds >= 2 {
		r.bySpeed.finish(end)
		return r.bySpeed
	}
	if !hasCurrent {
		return nil
	}
	chosen := r.byCurrent[0]
	for _, w := range r.byCurrent[1:] {
		if w.threshold <= idleFraction*usual*(1+1e-9) {
			chosen = w
		}
	}
	chosen.finish(end)
	return chosen
}
