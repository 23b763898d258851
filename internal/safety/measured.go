package safety

import (
	"math"

	"voltwright/internal/battery"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// extremes are the least and the greatest value of a channel over a run; false
// where the run has no such channel. Traces keep every extreme.
func extremes(r *runlog.Result, c runlog.Channel) (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, t := range r.Traces {
		if t.Channel != c {
			continue
		}
		for _, y := range t.Y {
			low, high = math.Min(low, y), math.Max(high, y)
		}
	}
	return low, high, low <= high
}

// warmth is the temperature that a run was made at: the least and the greatest
// that was measured at the pack, else that of the air; false where neither is known.
func (s *subject) warmth() (low, high quantity.Celsius, of string, ok bool) {
	if r := s.result(); r != nil {
		if low, high, ok := extremes(r, runlog.Temperature); ok {
			return quantity.Celsius(low), quantity.Celsius(high), "the pack", true
		}
	}
	t := s.run.Conditions.Temperature
	return t.Value, t.Value, "the air", t.Known()
}

// steady is the current that a run draws or charges with for most of the time, a magnitude.
func steady(r *runlog.Result) quantity.Measured[quantity.Amperes] {
	if r.P95Current.Known() {
		return r.P95Current
	}
	m := r.MeanCurrent
	m.Value = max(m.Value, -m.Value)
	return m
}

// peak is the greatest current of a run, a magnitude.
func peak(r *runlog.Result) quantity.Amperes { return max(r.PeakCurrent.Value, -r.PeakCurrent.Value) }

// draws tells a run that takes charge out of the packs.
func draws(r *journal.Run) bool {
	return r.Type.Value == journal.Bench || r.Type.Value == journal.Field
}

// heaviest is the measured run of the version with the greatest steady discharge; nil where there is none.
func (s *subject) heaviest() (*journal.Run, quantity.Measured[quantity.Amperes]) {
	var of *journal.Run
	most := quantity.Missing[quantity.Amperes]()
	for _, r := range s.version.Runs {
		if result := s.of(r); draws(r) && result != nil {
			if i := steady(result); i.Known() && (of == nil || i.Value > most.Value) {
				of, most = r, i
			}
		}
	}
	return of, most
}

// capacity is what all packs together hold: what is stated, or what the logs show where that is less beyond its
// uncertainty; false where one is not known. Currents are told by it.
func (s *subject) capacity() (quantity.AmpereHours, bool) {
	c := s.version.Capacity()
	if a := s.answers(); c.Known() && a != nil && a.Basis.Calibrated && a.Capacity.Known() && a.Capacity.Value+a.Capacity.Expanded() < c.Value {
		return a.Capacity.Value, true
	}
	return c.Value, c.Known()
}

// holds is the part of that which one pack has; false where its capacity is not known.
func (s *subject) holds(p *journal.Pack) (quantity.AmpereHours, bool) {
	c := p.Capacity.Value
	if all, ok := s.capacity(); ok {
		c *= all / s.version.Capacity().Value
	}
	return c, p.Capacity.Known()
}

// alike gives the cells of the version's packs where all are of one chemistry and one number in series.
func (s *subject) alike() (*journal.Pack, bool) {
	for i := range s.version.Packs {
		p, first := &s.version.Packs[i], &s.version.Packs[0]
		if p.Chemistry.Value != first.Chemistry.Value || p.Series.Value != first.Series.Value {
			return nil, false
		}
	}
	if len(s.version.Packs) == 0 {
		return nil, false
	}
	_, _, ok := cellsOf(&s.version.Packs[0])
	return &s.version.Packs[0], ok
}

// floorOf is the least voltage of one cell that data sheets allow, and where that is
// from. That of lead-acid goes by the rate: the slowest steady discharge that was
// measured on the version counts, since there it is highest.
func (s *subject) floorOf(c *battery.Chemistry) (quantity.Volts, string) {
	rate := 0.0
	capacity := s.version.Capacity()
	for _, r := range s.version.Runs {
		result := s.of(r)
		if !draws(r) || result == nil || !capacity.Known() || !(capacity.Value > 0) {
			continue
		}
		if i := steady(result); i.Known() && i.Value > 0 {
			if x := float64(i.Value) / float64(capacity.Value); rate == 0 || x < rate {
				rate = x
			}
		}
	}
	floor, q := c.FloorAt(rate)
	return floor, q.String()
}
