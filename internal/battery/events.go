package battery

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// judge looks at the state of this moment: levels, cutouts, and whether the run is over.
func (r *run) judge() Ending {
	loaded := r.amps > 0 && !r.open
	left := len(r.levels)
	for i := range r.levels {
		w := &r.levels[i]
		if w.trips(r.volts, r.t, loaded) {
			w.done = true
			o := &r.out.Levels[i]
			o.At = quantity.Seconds(r.t)
			o.Charge, o.Energy = quantity.AmpereHours(r.drawn/3600), quantity.WattHours(r.joules/3600)
			o.Left = r.left()
			if r.follows != nil {
				r.follows.reached(r, i)
			}
		}
		if w.done {
			left--
		}
	}
	if len(r.levels) > 0 && left == 0 && (r.Cutout == nil || r.StopAtCutout && r.cut.done) {
		return LevelsReached
	}
	if ending := r.judgeCutout(loaded); ending != "" {
		return ending
	}
	if ending := r.judgeProtection(); ending != "" {
		return ending
	}
	switch {
	case r.t >= r.until-1e-9:
		return TimeOver
	case !r.Demand.Repeat && r.part == len(r.Demand.Parts)-1 && r.t >= r.partEnds-1e-9:
		return DemandOver
	case r.empty():
		return PackEmpty
	}
	return ""
}

// trips follows the voltage and tells when it has been low for the delay.
func (w *watch) trips(volts, t float64, loaded bool) bool {
	if w.done || !loaded {
		w.below = false
		return false
	}
	low := volts <= w.volts+near(w.volts)
	switch {
	case low && !w.below:
		w.below, w.due = true, t+w.delay
	case !low:
		w.below = false
	}
	return w.below && t >= w.due-1e-9
}

func (r *run) judgeCutout(loaded bool) Ending {
	if r.Cutout == nil {
		return ""
	}
	if r.open {
		return r.judgeOpen()
	}
	over := r.Cutout.Trip > 0 && r.amps > float64(r.Cutout.Trip)
	if !over && !r.cut.trips(r.volts, r.t, loaded) {
		return ""
	}
	r.out.Openings = append(r.out.Openings, Opening{At: quantity.Seconds(r.t), Volts: quantity.Volts(r.volts), ClosedAt: quantity.Seconds(math.NaN())})
	r.cut.done = true
	if r.StopAtCutout {
		return CutoutOpened
	}
	if len(r.out.Openings) >= mostOpenings {
		return Chattering
	}
	r.open = true
	r.h = quickest
	return r.switched()
}

// switched settles the network after something in it was opened or closed; Collapsed with Outcome.Collapse set where what is left cannot
// give what the load wants.
func (r *run) switched() Ending {
	err := r.settle()
	if err == nil {
		return ""
	}
	if c, ok := errors.AsType[*CollapseError](err); ok {
		c.At = quantity.Seconds(r.t)
		r.out.Collapse = c
	}
	return Collapsed
}

// judgeOpen closes an open cutout where the voltage has come back, and gives it up where it does not.
func (r *run) judgeOpen() Ending {
	last := &r.out.Openings[r.lastOpening()]
	switch {
	case r.volts >= r.reset()-near(r.reset()):
		last.ClosedAt = quantity.Seconds(r.t)
		r.open = false
		r.cut.below, r.cut.done = false, false
		r.h = min(r.h, 1)
		return r.switched()
	case r.t-float64(last.At) > settledFor || math.IsInf(r.reset(), 1):
		return StayedOpen
	}
	return ""
}

// lastOpening finds the latest opening of the cutout between packs and load.
func (r *run) lastOpening() int {
	for i := len(r.out.Openings) - 1; ; i-- {
		if r.out.Openings[i].Pack == "" {
			return i
		}
	}
}

// judgeProtection opens and closes what is inside the packs.
func (r *run) judgeProtection() Ending {
	changed, connected := false, 0
	for i := range r.net.elements {
		e := &r.net.elements[i]
		p := r.Packs[i].Protection
		if p == nil {
			connected++
			continue
		}
		w := &r.packCuts[i]
		if e.open {
			if back := float64(p.Opens + p.ResetThreshold); e.now.emf >= back { // NaN compares false
				e.open, w.done, w.below, changed = false, false, false, true
				r.closePack(i)
			}
		} else if p.Trip > 0 && e.now.amps*e.parallel > float64(p.Trip) || w.trips(r.volts, r.t, e.now.amps > 0) {
			e.open, w.done, changed = true, true, true
			r.out.Openings = append(r.out.Openings, Opening{Pack: r.Packs[i].Name, At: quantity.Seconds(r.t), Volts: quantity.Volts(r.volts), ClosedAt: quantity.Seconds(math.NaN())})
		}
		if !e.open {
			connected++
		}
	}
	if connected == 0 {
		return Disconnected
	}
	if len(r.out.Openings) >= mostOpenings {
		return Chattering
	}
	if changed {
		r.h = quickest
		return r.switched()
	}
	return ""
}

func (r *run) closePack(i int) {
	for k := len(r.out.Openings) - 1; k >= 0; k-- {
		if o := &r.out.Openings[k]; o.Pack == r.Packs[i].Name && math.IsNaN(float64(o.ClosedAt)) {
			o.ClosedAt = quantity.Seconds(r.t)
			return
		}
	}
}

// empty tells that every pack that is still connected has run off the low end of its curve.
func (r *run) empty() bool {
	for i := range r.net.elements {
		e := &r.net.elements[i]
		if !e.open && (e.y.charge-e.y.lag > emptyCharge || e.now.amps <= 0 && e.y.charge > emptyCharge) {
			return false
		}
	}
	return true
}

func (r *run) left() quantity.AmpereHours {
	var sum float64
	for i := range r.net.elements {
		e := &r.net.elements[i]
		sum += max(0, e.y.charge) / e.perHour / 3600 * e.parallel
	}
	return quantity.AmpereHours(sum)
}

// row keeps a row of the trace where one is due.
func (r *run) row(last bool) {
	if r.TracePoints <= 0 {
		return
	}
	if !last && r.t < r.nextRow {
		return
	}
	row := TraceRow{At: quantity.Seconds(r.t), Volts: quantity.Volts(r.volts), Amperes: quantity.Amperes(r.amps)}
	for i := range r.net.elements {
		e := &r.net.elements[i]
		if i == 0 || e.y.temp > float64(row.Warmest) {
			row.Warmest = quantity.Celsius(e.y.temp)
		}
		row.Shares = append(row.Shares, quantity.Amperes(e.now.amps*e.parallel))
	}
	r.out.Trace = append(r.out.Trace, row)
	if len(r.out.Trace) >= r.TracePoints && !last {
		// Thin by half and keep half as often from here on.
		kept := r.out.Trace[:0]
		for i := 0; i < len(r.out.Trace); i += 2 {
			kept = append(kept, r.out.Trace[i])
		}
		r.out.Trace = kept
		r.every = max(2*r.every, 1)
	}
	r.nextRow = r.t + r.every
}

// finish fills what is known only at the end.
func (r *run) finish() {
	r.row(true)
	o := &r.out
	o.Elapsed, o.Volts, o.Lowest = quantity.Seconds(r.t), quantity.Volts(r.volts), quantity.Volts(r.lowest)
	o.Charge, o.Energy, o.Heat = quantity.AmpereHours(r.drawn/3600), quantity.WattHours(r.joules/3600), quantity.WattHours(r.heat/3600)
	for i := range r.net.elements {
		e := &r.net.elements[i]
		p := &o.Packs[i]
		p.Charge, p.Temperature, p.CutOff = e.y.charge, quantity.Celsius(e.y.temp), e.open
		p.Left = quantity.AmpereHours(max(0, e.y.charge) / e.perHour / 3600 * e.parallel)
	}
	why := string(o.Ended)
	if o.Ended == TimeOver {
		why = "the " + days(r.until) + " that are computed ended"
	}
	for i := range o.Levels {
		l := &o.Levels[i]
		if math.IsNaN(float64(l.At)) {
			l.Err = &NeverReachedError{Level: l.Name, Volts: l.Volts, Lowest: o.Lowest, Why: why, Delay: l.Delay}
			l.Charge, l.Energy, l.Left = o.Charge, o.Energy, r.left()
		}
	}
}

// days is a time in words, in days where it is days.
func days(seconds float64) string {
	if n := seconds / 86400; n > 1 && n == math.Trunc(n) {
		return fmt.Sprintf("%.0f days", n)
	}
	return quantity.Clock(quantity.Seconds(seconds), 1)
}
