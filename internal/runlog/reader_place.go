package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// parsedRow is a row whose fields are read, before it has its place in time.
type parsedRow struct {
	sample Sample
	time   rowTime
	line   []byte
}

// release takes the next row, nil at the end, and gives out the one before it, which was held back to see whether its time
// stands alone.
func (s *Scanner) release(next *parsedRow) (Sample, bool) {
	if !s.holds {
		if next != nil {
			s.holds = true
			s.turnover = 1 - s.turnover
		}
		return Sample{}, false
	}
	held := &s.parsed[1-s.turnover]
	if next == nil {
		s.holds = false
	} else {
		s.turnover = 1 - s.turnover
		if off := s.stray(held, next); off != 0 {
			way := "back"
			if off > 0 {
				way = "ahead"
			}
			s.faultAt(rowFault{"log-bad-time", fmt.Sprintf("the time of this one row goes %s by %s, and the row after it runs on from the row before; it is left out", way, plain(math.Abs(off), quantity.Time)),
				"correct the time, or take the row out", held.time.start, 0}, held.line, held.sample.Line, held.sample.Offset)
			return Sample{}, false
		}
	}
	s.accounts.Used++
	return s.place(held), true
}

// How far a single row's time must stand off to be left out; our own choice.
const (
	strayAhead = 60.0 // s
	strayTimes = 20.0 // times the interval between the rows on either side
)

// stray is how far the time of a row stands off, in s, where the row after it runs on from the row before it; else 0.
func (s *Scanner) stray(held, next *parsedRow) float64 {
	form := s.times[0].form
	if s.clock.rows == 0 || form == timeStep {
		return 0
	}
	off := held.time.stamp[0].since(s.placed)
	on := next.time.stamp[0].since(s.placed)
	switch {
	case on < 0:
	case off < -heldBack && !(form.clocked() && off < -halfDay):
		return off
	case off-on > heldBack && off > strayAhead && off > strayTimes*math.Max(on, s.clock.step):
		return off
	}
	return 0
}

// place gives a row its times and its signs.
func (s *Scanner) place(row *parsedRow) Sample {
	t, sample := &row.time, &row.sample
	if s.times[0].form == timeStep {
		t.stamp[0] = stamp{part: float64(s.clock.rows) * s.step}
	}
	s.placed = t.stamp[0]
	sample.Time, sample.Restart = s.clock.place(t.stamp[0], s.times[0].form, s.report, func() finding.Span {
		return s.report.place(row.line, sample.Line, sample.Offset, t.start, 0)
	})
	sample.Values[Time] = sample.Time
	if x := &s.times[1]; x.fields > 0 && t.set[1] == x.fields && t.stamp[1].usable() {
		sample.Values[SecondTime] = t.stamp[1].since(x.first)
	}
	if t.placed == 2 {
		sample.Values[ByPosition] = s.way.add(t.lat, t.long)
	}
	for c, flip := range s.flip {
		if flip {
			sample.Values[c] = -sample.Values[c]
		}
	}
	s.signBy.sign(sample, s.turn)
	return *sample
}
