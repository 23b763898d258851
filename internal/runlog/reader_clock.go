package runlog

import (
	"fmt"
	"strconv"

	"voltwright/internal/finding"
)

const (
	// heldBack is the largest step back of a log's clock, in seconds, that is
	// taken for a correction of the clock: the row is held at the time before it.
	heldBack = 1.0
	// heldRows is how many rows in a row are held; after that the clock has
	// been set back for good and the log's time starts again from there.
	heldRows = 10
	// halfDay tells a clock that passed midnight from one that was set back.
	halfDay = 43200
)

// rowClock turns the stamps of rows into a time that never falls.
type rowClock struct {
	rows  int
	first stamp
	shift float64 // what restarts and midnights have added
	last  float64
	step  float64 // the last interval that rose
	held  int
}

// place gives the time of a row, and whether the log's clock started again at it.
func (c *rowClock) place(s stamp, form timeForm, report *tally, span func() finding.Span) (t float64, restart bool) {
	c.rows++
	if c.rows == 1 {
		c.first = s
		return 0, false
	}
	t = s.since(c.first) + c.shift
	back := c.last - t
	if back > halfDay && form.clocked() {
		c.shift += 86400
		t += 86400
		back -= 86400
		report.count("log-midnight", "", 0, span, func(n int, _ float64) finding.Finding {
			return finding.Finding{Level: finding.Note, Text: fmt.Sprintf("the clock passes midnight %s; the time runs on", times(n))}
		})
	}
	switch {
	case back < 0:
		c.step, c.held = -back, 0
	case back == 0: // an edge at one instant, or a coarse stamp: the spreader tells
	case back <= heldBack && c.held < heldRows:
		c.held++
		t = c.last
		report.count("log-clock-back", "", back, span, func(n int, worst float64) finding.Finding {
			return finding.Finding{Level: finding.Note, Text: fmt.Sprintf("%s back in time by up to %s s, first here; held at the time before", rowsVerb(n, "steps", "step"), strconv.FormatFloat(worst, 'f', 3, 64))}
		})
	default:
		c.shift += back + c.step
		t = c.last + c.step
		c.held, restart = 0, true
		if !report.full("log-clock-restart") {
			report.add(finding.Finding{Rule: "log-clock-restart", Level: finding.Warning, Span: span(),
				Text:   fmt.Sprintf("the clock goes back by %s s: it was set back or the logger started again; the time runs on from the row before and nothing is counted across", strconv.FormatFloat(back, 'f', 3, 64)),
				Remedy: "if these are two runs, split the log"})
		}
	}
	c.last = t
	return t, restart
}

func rowsVerb(n int, one, many string) string {
	if n == 1 {
		return "1 row " + one
	}
	return fmt.Sprintf("%d rows %s", n, many)
}
