package runlog

import (
	"fmt"
	"math"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// parsedRow is a row whose fields are read, before it has its place in time.
type parsedRow struct {
	sample Sample
	time   rowTime
	line   []byte
}

// blank is a row to read into.
func (s *Scanner) blank() *parsedRow {
	if n := len(s.spare); n > 0 {
		row := s.spare[n-1]
		s.spare = s.spare[:n-1]
		return row
	}
	return &parsedRow{}
}

// How far the times of a few rows must stand off to be left out; our own choice.
const (
	strayAhead = 60.0 // s
	strayTimes = 20.0 // times the interval between the rows on either side
	strayRows  = 5    // in succession, at most
)

// release gives the next row that has its place. A row whose time stands off is held back to see whether a later one runs
// on from the row before it; then it is left out, and so are those between.
func (s *Scanner) release(end bool) *parsedRow {
	for len(s.waiting) > 0 {
		row := s.waiting[0]
		n := 0
		if s.strays(row) {
			if n = s.runsOn(); n == 0 && len(s.waiting) <= strayRows && !end {
				return nil
			}
		}
		if n == 0 {
			s.waiting = slices.Delete(s.waiting, 0, 1)
			return row
		}
		for k, row := range s.waiting[:n] {
			s.leaveStray(row, k, n)
			s.spare = append(s.spare, row)
		}
		s.waiting = slices.Delete(s.waiting, 0, n)
	}
	return nil
}

// leaveStray leaves out a row, the k-th of n whose times stand off.
func (s *Scanner) leaveStray(row *parsedRow, k, n int) {
	off := row.time.stamp[0].since(s.placed)
	way := "back"
	if off > 0 {
		way = "ahead"
	}
	what, after := "this one row", "the row after it"
	if n > 1 {
		what, after = fmt.Sprintf("this row, the %d. of %d in succession,", k+1, n), "the row after them"
	}
	s.faultAt(rowFault{"log-bad-time", fmt.Sprintf("the time of %s goes %s by %s, and %s runs on from the row before; it is left out", what, way, plain(math.Abs(off), quantity.Time), after),
		"correct the time, or take the row out", row.time.start, 0}, row.line, row.sample.Line, row.sample.Offset)
}

// strays says whether the time of a row stands off from the row before it.
func (s *Scanner) strays(row *parsedRow) bool {
	form := s.times[0].form
	if s.clock.rows == 0 || form == timeStep {
		return false
	}
	off := row.time.stamp[0].since(s.placed)
	return off < -heldBack && !(form.clocked() && off < -halfDay) || off > strayAhead && off > strayTimes*s.clock.step
}

// runsOn is how many of the waiting rows come before one that runs on from the row before them; 0 where none does yet. A
// row that is nearer to the strays than to the row before them, or that runs on from the strays, is one of them.
func (s *Scanner) runsOn() int {
	off := s.waiting[0].time.stamp[0].since(s.placed)
	for k := 1; k < len(s.waiting); k++ {
		at := s.waiting[k].time.stamp[0]
		on := at.since(s.placed)
		if on < 0 || off > 0 && !(off-on > heldBack && off > strayTimes*max(on, s.clock.step)) {
			continue
		}
		d := at.since(s.waiting[k-1].time.stamp[0])
		if k > 1 && (on > math.Abs(d)/2 || d >= 0 && d <= 3*s.clock.step+heldBack) {
			continue
		}
		return k
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
		if s.watch != nil {
			s.watch(sample.Time, t.lat, t.long)
		}
	}
	if s.joined {
		t.join(sample)
	}
	for c, flip := range s.flip {
		if flip {
			sample.Values[c] = 0 - sample.Values[c] // nothing has no sign
		}
	}
	s.signBy.sign(sample, s.turn)
	return *sample
}
