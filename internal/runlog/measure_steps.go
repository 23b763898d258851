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
	voltageSteps   = 3    // a fall must be this many of the smallest voltage changes seen
)

// sagWatch finds the greatest fall of the voltage within settleLongest of a load that comes on.
type sagWatch struct {
	peak      float64
	rest      float64 // last voltage at rest; NaN under load and before any rest
	restT     float64
	watching  bool
	from      float64 // the voltage at rest before this load
	since     float64
	lowest    float64
	greatest  float64 // NaN: none yet
	lastFirst bool
	before    float64 // of the greatest: the voltage at rest
	after     float64 // of the greatest: the lowest under load
	at        float64
	sawRest   bool
}

func newSagWatch() *sagWatch {
	return &sagWatch{rest: math.NaN(), greatest: math.NaN(), before: math.NaN(), after: math.NaN()}
}

func (w *sagWatch) add(a *instant) {
	if math.IsNaN(a.v) {
		return
	}
	w.peak = math.Max(w.peak, math.Abs(a.i))
	if math.Abs(a.i) <= restFraction*w.peak {
		w.close()
		w.rest, w.restT, w.sawRest = a.v, a.t, true
		return
	}
	if a.i < 0 { // charging
		w.close()
		w.rest = math.NaN()
		return
	}
	if !w.watching {
		if math.IsNaN(w.rest) {
			return
		}
		w.watching, w.from, w.since, w.lowest = true, w.rest, a.t, a.v
		w.rest = math.NaN()
		return
	}
	if a.t-w.since > settleLongest {
		w.close()
		return
	}
	w.lowest = math.Min(w.lowest, a.v)
}

func (w *sagWatch) close() {
	if !w.watching {
		return
	}
	w.watching = false
	if sag := w.from - w.lowest; !(sag <= w.greatest) {
		w.greatest, w.before, w.after, w.at = sag, w.from, w.lowest, w.restT
	}
}

// stepWatch measures the resistance at every current step that holds long enough.
type stepWatch struct {
	peak          float64
	smallest      float64 // smallest change of voltage between two rows, other than none
	lastV         float64
	open          bool
	start, first  instant // the instants on either side of the step
	beforeV       float64
	latest        instant // the last one that qualifies; t is 0 before any
	has           bool
	steps         []ResistanceStep
	count         int
	refused       int
	leadingVolts  int
	tooSlow       int
	wrongWay      int
	tooSmall      int
	notHeld       int
	sumOfDrops    float64
	sumOfSteps    float64
	resistances   []float64
	settlingTimes []float64
}

func newStepWatch() *stepWatch { return &stepWatch{smallest: math.Inf(1), lastV: math.NaN()} }

// pass takes a passage after the accounts have; b is then followed.
func (w *stepWatch) pass(p *passage) {
	w.peak = math.Max(w.peak, math.Max(math.Abs(p.a.i), math.Abs(p.b.i)))
	if d := math.Abs(p.b.v - w.lastV); d > 0 && d < w.smallest {
		w.smallest = d
	}
	if !math.IsNaN(p.b.v) {
		w.lastV = p.b.v
	}
	if p.kind == openEdge || p.kind == placedEdge {
		w.close()
		if math.IsNaN(p.a.v) || math.IsNaN(p.b.v) {
			return
		}
		w.open, w.start, w.first, w.has = true, p.a, p.b, false
		w.beforeV = p.a.v
		if p.before != nil && p.a.t-p.before.t <= settleLongest && !math.IsNaN(p.before.v) {
			if fall := p.before.v - p.b.v; math.Abs(p.a.v-p.before.v) > voltageLeads*math.Abs(fall) && fall*(p.before.v-p.a.v) > 0 {
				w.beforeV = p.before.v
				w.leadingVolts++
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
	}
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
	case math.Abs(fall) < voltageSteps*w.smallest && !math.IsInf(w.smallest, 1):
		w.refused++
		w.tooSmall++
		return
	case !(fall/step > 0):
		w.refused++
		w.wrongWay++
		return
	}
	w.count++
	if len(w.steps) == MaxListed {
		return
	}
	w.sumOfDrops += math.Abs(fall)
	w.sumOfSteps += math.Abs(step)
	w.resistances = append(w.resistances, fall/step)
	w.settlingTimes = append(w.settlingTimes, w.latest.t-w.start.t)
	w.steps = append(w.steps, ResistanceStep{
		At: quantity.Seconds(w.start.t), Settle: quantity.Seconds(w.latest.t - w.start.t),
		Before: quantity.Amperes(w.start.i), After: quantity.Amperes(w.latest.i), Resistance: quantity.Ohms(fall / step),
	})
}

// result gives the median of the steps.
//
// u² = (1.2533·s/√n)² + R²·((u(ΔV)/ΔV)² + (u(ΔI)/ΔI)²): the standard error of a median for normal scatter, Type A; and the
// instruments at the mean fall and the mean step, of which what all readings share cancels in the differences. One step has
// no Type A part.
func (w *stepWatch) result(voltage, current spec) Resistance {
	w.close()
	out := Resistance{Measured: quantity.Missing[quantity.Ohms](), Steps: w.count, Refused: w.refused, Listed: w.steps,
		Settle: quantity.Seconds(math.NaN())}
	n := len(w.resistances)
	if n == 0 {
		return out
	}
	r := median(w.resistances)
	var m moments
	for _, x := range w.resistances {
		m.add(x)
	}
	typeA := 0.0
	if n > 1 {
		typeA = medianError * m.sd() / math.Sqrt(float64(n))
	}
	fall, step := w.sumOfDrops/float64(n), w.sumOfSteps/float64(n)
	typeB := r * math.Hypot(voltage.difference(fall)/fall, current.difference(step)/step)
	out.Measured = quantity.Measured[quantity.Ohms]{Value: quantity.Ohms(r), U: quantity.Ohms(math.Hypot(typeA, typeB))}
	out.Scatter = quantity.Ohms(typeA)
	out.Settle = quantity.Seconds(median(w.settlingTimes))
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
