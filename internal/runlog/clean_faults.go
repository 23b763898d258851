package runlog

import (
	"bytes"
	"slices"
)

// leftOut is what stands in place of a row that the reader leaves out: a row with nothing but its times that is left out by the same
// rule, so that the accounts of the cleaned log are those of the log. Where there is no such row the line is blank.
func (c *Cleaned) leftOut(rule string, line []byte) string {
	fields := c.s.splitter.split(line, c.s.separator)
	n := min(len(fields), 1000)
	times := make([]string, n)
	for i := range times {
		if t := c.read(i); t != nil && isTime(t.role) {
			times[i] = c.readCell(t, trimBlank(fields[i].text))
		}
	}
	if rule == ruleNoTime && n >= c.s.layout.fields { // an ordinary row but for its time
		if whole := c.cells(line); c.leavesOut(whole) == rule {
			return whole
		}
	}
	empty, last := make([]string, n), slices.Clone(times)
	last[n-1] = withheld
	ofTime := func(t *target) bool { return isTime(t.role) && t.slot == 0 }
	tries := []string{c.join(times), c.with(times, withheld, func(t *target) bool { return !isTime(t.role) }), c.join(empty),
		c.with(empty, withheld, ofTime), c.with(empty, "1e300", ofTime), c.join(last), `"`, "\x00", noValue}
	for _, try := range tries {
		if c.leavesOut(try) == rule {
			return try
		}
	}
	return ""
}

// read is how a column is read; nil where it is not, and for a position.
func (c *Cleaned) read(i int) *target {
	if i >= len(c.columns) || c.columns[i].place {
		return nil
	}
	return c.columns[i].read
}

func isTime(r role) bool {
	switch r {
	case roleNumericTime, roleWrittenTime, roleDate, roleClock, roleWhole, roleNanos:
		return true
	}
	return false
}

// with writes cells with a word in the first column of a sort.
func (c *Cleaned) with(cells []string, word string, sort func(*target) bool) string {
	out := append([]string(nil), cells...)
	for i := range out {
		if t := c.read(i); t != nil && t.role != roleState && t.role != roleStepClock && sort(t) {
			out[i] = word
			break
		}
	}
	return c.join(out)
}

// leavesOut is the rule by which a line would be left out; "" for one that would be read, or would be no row.
func (c *Cleaned) leavesOut(line string) string {
	probe := *c.s
	probe.lines = &lineReader{buf: []byte(line), end: c.s.lines.end, start: len(line)}
	probe.report, probe.splitter, probe.left = &tally{quiet: true}, fieldSplitter{}, ""
	var row parsedRow
	row.sample = c.s.empty
	if bytes.IndexByte([]byte(line), probe.lines.end) >= 0 {
		return ""
	}
	probe.row([]byte(line), 0, &row)
	return probe.left
}
