package runlog

import (
	"bytes"
	"fmt"
	"math"
	"slices"

	"voltwright/internal/finding"
)

// rowFault is why a row is left out.
type rowFault struct {
	rule, text, remedy string
	start, length      int
}

// fault reports a row that is left out.
func (s *Scanner) fault(f rowFault, line []byte, offset int64) {
	s.faultAt(f, line, s.lines.number, offset)
}

func (s *Scanner) faultAt(f rowFault, line []byte, number int, offset int64) {
	s.accounts.leave(f.rule)
	s.left = f.rule
	if s.report.full(f.rule) {
		return
	}
	s.report.add(finding.Finding{Rule: f.rule, Level: finding.Warning, Text: f.text, Remedy: f.remedy,
		Span: s.report.place(line, number, offset, f.start, f.length)})
}

// row reads one line, and the ones that a quoted field goes on in, into a parsed row. It reports false for a line that
// gives none.
func (s *Scanner) row(line []byte, offset int64, row *parsedRow) (whole []byte, ok bool) {
	if len(line) == 0 {
		return line, false
	}
	if c := line[0]; !isDigit(c) && c != '-' && s.aside(line, offset) {
		return line, false
	}
	if i := bytes.IndexByte(line, 0); i >= 0 {
		s.fault(rowFault{"log-zero-bytes", "this line holds zero bytes, as a logger leaves them that loses power while it writes; it is left out",
			"cut the zero bytes off", i, 1}, line, offset)
		return line, false
	}
	row.time = rowTime{}
	if s.separator != ' ' && bytes.IndexByte(line, '"') < 0 {
		if !s.plainRow(line, offset, &row.sample, &row.time) {
			return line, false
		}
	} else if !s.splitRow(line, offset, &row.sample, &row.time) {
		return line, false
	}
	return line, s.timed(&row.time, line, offset)
}

// aside handles lines among the data that are no rows.
func (s *Scanner) aside(line []byte, offset int64) bool {
	switch {
	case len(trimBlank(line)) == 0, isComment(line, s.separator):
		return true
	case s.headText != "" && string(line) == s.headText:
		number := s.lines.number
		s.report.count("log-head-repeated", "", 0, func() finding.Span { return s.report.place(line, number, offset, 0, len(line)) },
			func(n int, _ float64) finding.Finding {
				return finding.Finding{Level: finding.Note, Text: fmt.Sprintf("the head row stands in the data again, %s: the logger was started anew", times(n))}
			})
		return true
	}
	return false
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// rowTime gathers the time of a row, and its second time, from one or two fields each, and its position.
type rowTime struct {
	stamp     [2]stamp
	other     [2]stamp // the same with day and month the other way round
	set       [2]int   // how many of the time's fields were there
	start     int      // of the time's field
	lat, long float64
	placed    int
	back      float64 // the current that goes in, where it has a column of its own
	way       int     // 1 if that is there
}

// plainRow reads a line that holds no quotes, in one pass.
func (s *Scanner) plainRow(line []byte, offset int64, sample *Sample, t *rowTime) bool {
	p, column := 0, 0
	for i := range s.columns {
		c := &s.columns[i]
		for ; column < c.index; column++ {
			n := bytes.IndexByte(line[p:], s.separator)
			if n < 0 {
				s.short(column+1, line, offset)
				return false
			}
			p += n + 1
		}
		if c.role == roleValue || c.role == roleNumericTime {
			if v, end, ok := scanNumber(line, p, s.separator, s.decimal); ok {
				if c.role == roleNumericTime {
					t.stamp[c.slot] = s.times[c.slot].form.numericStamp(v)
					t.set[c.slot]++
					if c.slot == 0 {
						t.start = p
					}
				} else {
					if !c.plain {
						v = c.unit.Base(v)
					}
					if !c.channel.credible(v) && c.channel.evidence() {
						return true
					}
					if !c.channel.credible(v) {
						s.tooGreat(c, field{line[p:end], p}, line, offset)
						return false
					}
					sample.Values[c.channel] = v
				}
				if end < len(line) {
					p, column = end+1, column+1
				} else {
					p, column = end, column+1
					if i+1 < len(s.columns) {
						s.short(column, line, offset)
						return false
					}
				}
				continue
			}
		}
		end := bytes.IndexByte(line[p:], s.separator)
		if end < 0 {
			end = len(line)
		} else {
			end += p
		}
		if !s.field(c, field{line[p:end], p}, line, offset, sample, t) {
			return false
		}
		column++
		if end < len(line) {
			p = end + 1
		} else if p = end; i+1 < len(s.columns) {
			s.short(column, line, offset)
			return false
		}
	}
	if column+bytes.Count(line[p:], []byte{s.separator}) >= s.maxFields && p < len(line) {
		return s.surplus(line, offset)
	}
	return true
}

// surplus looks at a row that may have too many fields.
func (s *Scanner) surplus(line []byte, offset int64) bool {
	fields := bytes.Count(line, []byte{s.separator}) + 1
	if len(line) > 0 && line[len(line)-1] == s.separator {
		fields--
	}
	if fields <= s.maxFields {
		return true
	}
	s.long(fields, line, offset)
	return false
}

// splitRow reads a line with quotes, or with blanks as separator.
func (s *Scanner) splitRow(line []byte, offset int64, sample *Sample, t *rowTime) bool {
	first, number := len(line), s.lines.number
	fields := s.splitter.split(line, s.separator)
	for tries := 0; s.splitter.open && tries < 8; tries++ {
		longer, ok := s.lines.more(offset)
		if !ok {
			break
		}
		line = longer
		fields = s.splitter.split(line, s.separator)
	}
	if s.splitter.open {
		line = s.lines.backTo(offset, first, number)
		fields = s.splitter.split(line, s.separator)
		last := fields[len(fields)-1]
		s.fault(rowFault{"log-open-quote", "a quote is opened here and never closed", "close the quote, or take it out", last.start, 1}, line, offset)
		return false
	}
	if n := len(fields); n > s.maxFields && !(n == s.maxFields+1 && len(fields[n-1].text) == 0) {
		s.long(n, line, offset)
		return false
	}
	for i := range s.columns {
		c := &s.columns[i]
		if c.index >= len(fields) {
			s.short(len(fields), line, offset)
			return false
		}
		if !s.field(c, fields[c.index], line, offset, sample, t) {
			return false
		}
	}
	return true
}

func (s *Scanner) short(have int, line []byte, offset int64) {
	last := s.columns[len(s.columns)-1]
	s.fault(rowFault{"log-short-row", fmt.Sprintf("this row has %s; the %s is in column %d", plural(have, "field"), last.channel.said(), last.index+1),
		"the row was cut off or written while another one was; it is left out", max(len(line)-1, 0), min(len(line), 1)}, line, offset)
}

func (s *Scanner) long(have int, line []byte, offset int64) {
	s.fault(rowFault{"log-long-row", fmt.Sprintf("this row has %d fields where the others have at most %d; its columns may be shifted, so it is left out", have, s.maxFields),
		"look for a separator inside a value", 0, len(line)}, line, offset)
}

// field reads one field with all that a field may hold.
func (s *Scanner) field(c *target, f field, line []byte, offset int64, sample *Sample, t *rowTime) bool {
	switch c.role {
	case roleWrittenTime, roleDate, roleClock:
		return s.writtenTime(c, f, line, offset, t)
	case roleState:
		if state, ok := stateOf(string(f.text), true); ok {
			sample.Values[State] = state
		}
		return true
	case roleStepClock:
		if in, ok := s.inStep.parseStamp(trimBlank(f.text)); ok {
			sample.Values[StepTime] = float64(in.whole) + in.part
		}
		return true
	}
	v, suffix, state := parseField(f.text, s.decimal)
	u := c.unit
	if state == fieldValue && suffix != "" {
		if u = findUnit(suffix); u == nil || u.Dimension() != c.channel.Dimension() {
			state = fieldBad
		}
	}
	if state == fieldBad && (c.slot > 0 || c.channel.evidence()) {
		return true // evidence, and no reason to lose the row; and a position is shown to nobody
	}
	switch state {
	case fieldHole:
		s.hole(c, f, line, offset)
		return true
	case fieldBad:
		s.fault(rowFault{"log-bad-field", fmt.Sprintf("%s is no number for the %s", quoteField(f.text), c.channel.said()),
			"the row is left out; correct the field or leave it empty", f.start, len(f.text)}, line, offset)
		return false
	}
	switch c.role {
	case roleNumericTime:
		t.stamp[c.slot] = s.times[c.slot].form.numericStamp(v)
		t.set[c.slot]++
		if c.slot == 0 {
			t.start = f.start
		}
	case roleWhole:
		t.start = f.start
		if math.Abs(v) > greatestTime {
			t.stamp[0].part = math.Inf(1)
		} else {
			t.stamp[0].whole = int64(math.Floor(v))
			t.stamp[0].part += v - math.Floor(v)
		}
		t.set[0]++
	case roleNanos:
		t.stamp[0].part += v / 1e9
		t.set[0]++
	case roleLatitude:
		t.lat = v
		t.placed++
	case roleLongitude:
		t.long = v
		t.placed++
	default:
		v = u.Base(v)
		if !c.channel.credible(v) {
			s.tooGreat(c, f, line, offset)
			return false
		}
		if c.role == roleBack {
			t.back, t.way = v, 1
			return true
		}
		sample.Values[c.channel] = v
	}
	return true
}

// hole counts a field in which a word stands for no value.
func (s *Scanner) hole(c *target, f field, line []byte, offset int64) {
	if c.role != roleValue || c.channel.evidence() || len(trimBlank(f.text)) == 0 {
		return
	}
	number, word := s.lines.number, c.channel.String()
	text := quoteField(trimBlank(f.text))
	s.report.count("log-hole", word, 0, func() finding.Span { return s.report.place(line, number, offset, f.start, len(f.text)) },
		func(n int, _ float64) finding.Finding {
			return finding.Finding{Level: finding.Note, Text: fmt.Sprintf("%s instead of a number for the %s %s, first here; the row stays, without it", text, word, times(n))}
		})
}

func (s *Scanner) tooGreat(c *target, f field, line []byte, offset int64) {
	s.fault(rowFault{"log-bad-field", fmt.Sprintf("%s is too great for the %s", quoteField(f.text), c.channel.said()), "the row is left out; correct the field or leave it empty", f.start, len(f.text)}, line, offset)
}

// quoteField quotes a field for a message: enough of it to be found on its line, and not enough to tell anything else, since
// a field that is none of its column may be a position or a name.
func quoteField(text []byte) string {
	const most, shown = 10, 4
	digits := 0
	for _, c := range text {
		if isDigit(c) {
			digits++
		}
	}
	if len(text) > most || digits > shown {
		return fmt.Sprintf("%q…", text[:min(len(text), shown)])
	}
	return fmt.Sprintf("%q", text)
}

func (s *Scanner) writtenTime(c *target, f field, line []byte, offset int64, t *rowTime) bool {
	text := trimBlank(f.text)
	if len(text) == 0 {
		return true
	}
	form := s.times[c.slot].form
	if c.role == roleClock {
		form = timeClock
	}
	v, ok := form.parseStamp(text)
	if !ok && c.role == roleClock {
		v, ok = timeHoursMinutes.parseStamp(text)
	}
	if !ok && c.slot > 0 {
		return true
	}
	if !ok {
		s.fault(rowFault{"log-bad-time", fmt.Sprintf("%s is no time of the form of the other rows", quoteField(f.text)),
			"the row is left out", f.start, len(f.text)}, line, offset)
		return false
	}
	t.stamp[c.slot] = t.stamp[c.slot].plus(v)
	if s.times[c.slot].either && c.role != roleClock {
		if o, ok := form.turned().parseStamp(text); ok {
			v = o
		}
	}
	t.other[c.slot] = t.other[c.slot].plus(v)
	t.set[c.slot]++
	if c.slot == 0 {
		t.start = f.start
	}
	return true
}

const ruleNoTime = "log-no-time-in-row"

// timed says whether the row has its time.
func (s *Scanner) timed(t *rowTime, line []byte, offset int64) bool {
	if t.set[0] < s.times[0].fields {
		s.fault(rowFault{ruleNoTime, "this row has no time and is left out", "", t.start, 0}, line, offset)
		return false
	}
	if !t.stamp[0].usable() {
		s.fault(rowFault{"log-bad-time", "this time is beyond any log", "the row is left out", t.start, 0}, line, offset)
		return false
	}
	for slot := range s.times {
		if x := &s.times[slot]; x.fields > 0 && t.set[slot] == x.fields {
			x.settle(&t.stamp[slot], t.other[slot])
		}
	}
	return true
}

func (s *Scanner) hasRole(r role) bool {
	return slices.ContainsFunc(s.columns, func(c target) bool { return c.role == r })
}
