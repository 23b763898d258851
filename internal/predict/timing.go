package predict

import (
	"math"
	"path"
	"strings"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// Timing is how the time of a run is counted, from when it first set off to when it last came to a stand: on the clock,
// and running, which leaves out the stops that the run's own rule takes out.
type Timing struct {
	Stops []Stop  // in order; all of them, or Part tells
	Part  float64 // of the clock that is running, where not every stop is listed; NaN: all are
	U     quantity.Seconds
	Rule  string // in words: "stops longer than 15 s are taken out"
}

// Stop is a stop, s of the log's own clock.
type Stop struct {
	From, To float64
	TakenOut bool // the rule takes it out
}

// running is the running time between two moments, s.
func (t *Timing) running(from, to float64) float64 {
	if t == nil || to <= from {
		return max(0, to-from)
	}
	if !math.IsNaN(t.Part) {
		return t.Part * (to - from)
	}
	out := 0.0
	for _, h := range t.Stops {
		if h.TakenOut {
			out += max(0, min(to, h.To)-max(from, h.From))
		}
	}
	return to - from - out
}

// around widens a stretch from the first load to the last by what the vehicle rolled before and after, within bounds.
func (t *Timing) around(from, to, low, high float64) (float64, float64) {
	if t == nil || !math.IsNaN(t.Part) {
		return from, to
	}
	first, last := low, high
	for _, h := range t.Stops {
		if h.From < from {
			first = max(first, min(from, h.To))
		}
		if h.To > to {
			last = min(last, max(to, h.From))
		}
	}
	return first, last
}

// A run's load is computed as one that does not stop: for as long as the packs carry it, it is under load. How long that
// is as the run was timed follows from the run: for each second under load it was running for so long, and on the clock
// for so long.

// timed gives a load its measures of time, from the rows that it was measured on and the rule of the run.
func (l *Load) timed(r *Run, rows *Rows, threshold float64) {
	first, last := -1, -1
	var on float64 // s under load
	begins := func(k int) float64 {
		if k == 0 {
			return rows.Start
		}
		return rows.Time[k-1]
	}
	for k, i := range rows.Current {
		if i > threshold {
			if first < 0 {
				first = k
			}
			last = k
			on += rows.Time[k] - begins(k)
		}
	}
	if first < 0 {
		return
	}
	// It may roll before the first load and after the last; a charge is neither.
	low, high := first, last
	for low > 0 && math.Abs(rows.Current[low-1]) <= threshold {
		low--
	}
	for high+1 < len(rows.Time) && math.Abs(rows.Current[high+1]) <= threshold {
		high++
	}
	from, to := r.Timing.around(begins(first), rows.Time[last], begins(low), rows.Time[high])
	clock := to - from
	var rest, back, since float64 // J drawn while not under load; J and s of the stretch in which charge comes back
	for k, i := range rows.Current {
		joules, length := i*rows.Voltage[k]*max(0, min(to, rows.Time[k])-max(from, begins(k))), rows.Time[k]-begins(k)
		if i < 0 {
			back, since = back+joules, since+length
			continue
		}
		if since <= longestBack {
			rest += back
		}
		back, since = 0, 0
		if i <= threshold {
			rest += joules
		}
	}
	if since <= longestBack {
		rest += back
	}
	l.Duty, l.perLoad, l.Rule = quantity.Fraction(on/clock), clock/on, noRule
	if off := clock - on; off > 0 {
		l.Rest = quantity.Watts(rest / off)
	}
	if t := r.Timing; t != nil {
		running := t.running(from, to)
		l.perLoad, l.Rule = running/on, t.Rule
		if running > 0 {
			l.loose = float64(t.U) / running
		}
	}
	l.Load = l.steady()
}

// longestBack is how long charge may come back downhill; for longer it is a charger's. Our own choice; no source.
const longestBack = 120 // s

const noRule = "no stop is taken out"

// steady is the load without its stops: what is drawn while it is on, and on top of that what is drawn while it is not,
// so that the charge comes out as it was measured.
func (l *Load) steady() battery.Load {
	return battery.Delivering(l.Power.Value + l.more())
}

// more is what is drawn while the load is off, laid on the time while it is on.
func (l *Load) more() quantity.Watts {
	if d := float64(l.Duty); d > 0 && d < 1 && float64(l.Rest)*(1-d) > -d*float64(l.Power.Value) {
		return l.Rest * quantity.Watts((1-d)/d)
	}
	return 0
}

// OneMeasure tells that the load has one time by any measure: it is steady and comes from no run.
func (l Load) OneMeasure() bool { return l.Rule == "" && !(l.Duty > 0 && l.Duty < 1) }

// times are the measures of a time under load.
func (l Load) times(load quantity.Measured[quantity.Seconds]) (running, clock quantity.Measured[quantity.Seconds]) {
	clock = load
	if l.Duty > 0 && l.Duty < 1 {
		clock = quantity.Scale(load, 1/float64(l.Duty))
	}
	if l.perLoad <= 0 {
		return load, clock
	}
	running = quantity.Scale(load, l.perLoad)
	running.U = quantity.Seconds(math.Hypot(float64(running.U), l.loose*float64(running.Value)))
	if running.Value > clock.Value {
		running = clock
	}
	return running, clock
}

// Measure is a time counted in one way.
type Measure struct {
	Name  string // ends a value's name: "under-load", "clock"; "" is the answer itself
	Words string // "running time", "time under load", "time on the clock"
	Short string // the same behind a number: "running", "under load", "on the clock"
	Time  quantity.Measured[quantity.Seconds]
}

// Measures are the times until a voltage is reached, the answer first.
func (r EndPoint) Measures() []Measure {
	return []Measure{{"", "running time", "running", r.Running}, {"under-load", "time under load", "under load", r.UnderLoad}, {"clock", "time on the clock", "on the clock", r.Clock}}
}

// Others are the measures that stand after the answer: those that are known and count something else.
func (l Load) Others(r EndPoint) []Measure {
	var out []Measure
	for _, m := range r.Measures()[1:] {
		if m.Time.Known() && (m.Name == "under-load" && l.perLoad != 0 || m.Name == "clock" && !l.OneMeasure() && !l.ByHand) {
			out = append(out, m)
		}
	}
	return out
}

// Counted says by what rule the running time of the load is counted, as the end of a sentence.
func (l Load) Counted() string {
	run := l.Run
	if run == "" {
		run = l.From
	}
	switch {
	case l.OneMeasure():
		return "the load is steady and comes from no run, so running time, time under load and time on the clock are one"
	case l.Rule == "":
		return "the load comes from no run with a stop rule, so the running time is the time while it is on"
	case l.ByHand:
		return "counted as on " + path.Base(run) + ", on the clock: what its readings by hand leave out between them is not known"
	}
	return "counted as on " + path.Base(run) + ": " + l.Rule
}

// RestWords are what is drawn while the load is off, where that is worth telling: " and 3.2 W for the rest", else "".
func (l Load) RestWords() string {
	if d := float64(l.Duty); !(d > 0 && d < 1) || !(math.Abs(float64(l.Rest))*(1-d) >= restTold*float64(l.Power.Value)*d) {
		return ""
	}
	return " and " + quantity.Brief(l.Rest) + " for the rest"
}

// restTold is the part of the energy above which what is drawn while a load is off is told.
const restTold = 0.005

// TimeWords prints a time with its uncertainty, and one whose uncertainty cannot be had as about so long.
func TimeWords(m quantity.Measured[quantity.Seconds]) string {
	if m.Known() && math.IsNaN(float64(m.U)) {
		return "about " + quantity.Clock(m.Value, 60)
	}
	return m.String()
}

// BoundedTime says a time with its bounds of about 95 %, rounded as TimeWords rounds: "about 47 min, 41 to 54".
func BoundedTime(m quantity.Measured[quantity.Seconds]) string {
	if !m.Known() || !(m.U > 0) {
		return TimeWords(m)
	}
	low, high := battery.Bounds(m.Value, m.U)
	rounded := func(t quantity.Seconds) quantity.Parts { return quantity.Of(t, m.U).Quantity().Parts() }
	at, from, to := rounded(m.Value), rounded(low), rounded(high)
	whole := func(p quantity.Parts) string { return strings.TrimSpace(p.Value + " " + p.Unit) }
	if at.Unit != "" && at.Unit == from.Unit && at.Unit == to.Unit {
		return "about " + whole(at) + ", " + from.Value + " to " + to.Value
	}
	return "about " + whole(at) + ", " + whole(from) + " to " + whole(to)
}

// Shares are the running time and the time on the clock for each second under load, and the standard uncertainty of the
// first as a part of it.
func (l Load) Shares() (running, loose, clock float64) {
	r, c := l.times(quantity.Exact(quantity.Seconds(1)))
	return float64(r.Value), float64(r.U / r.Value), float64(c.Value)
}

// factor is the running time for each second under load.
func (l Load) factor() float64 {
	running, _ := l.times(quantity.Exact(quantity.Seconds(1)))
	return float64(running.Value)
}

// told is an error of the packs in the measure in which the time is told, with what ends a run called by its name.
func (k *known) told(l Load, err error) error {
	f := quantity.Seconds(l.factor())
	name := func(level string) string {
		if level == battery.CutoutLevel {
			return strings.TrimPrefix(k.endsBy(), "the ")
		}
		return level
	}
	switch e := err.(type) {
	case *battery.NeverReachedError:
		told := *e
		told.Level = name(e.Level)
		return &told
	case *battery.UncertainError:
		told := *e
		told.Level = name(e.Level)
		told.From, told.To, told.Likely = f*e.From, f*e.To, f*e.Likely
		return &told
	case *battery.CollapseError:
		told := *e
		told.At = f * e.At
		return &told
	}
	return err
}

// countedLike gives loads the stops and the rule of a run's load.
func countedLike(name string, loads, measured []Load) (out []Load, refused []string) {
	for _, m := range measured {
		if m.Name != name {
			continue
		}
		for _, l := range loads {
			l.Run, l.Rule, l.ByHand, l.Duty, l.perLoad, l.loose = m.Run, m.Rule, m.ByHand, m.Duty, m.perLoad, m.loose
			out = append(out, l)
		}
		return out, nil
	}
	return nil, []string{"No run of this version called " + name + " shows a load, so nothing can be counted as on it."}
}
