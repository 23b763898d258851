package runlog

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Scanner reads a log row by row. It looks at a bounded prefix to find out how
// the log is written, then streams: its memory does not grow with the log.
type Scanner struct {
	lines   *lineReader
	report  *tally
	options Options
	dialect Dialect

	usable    bool
	separator byte
	decimal   byte
	skip      int    // lines above the first data row that are left to skip
	mark      bool   // the text begins with a byte order mark
	headText  string // the head row as written, to know it when it is repeated
	columns   []target
	maxFields int // a row with more has been shifted
	splitter  fieldSplitter

	form timeForm
	step float64
	// timeFields is how many fields make the time of a row: 0, 1 or 2.
	timeFields int
	clock      rowClock
	empty      Sample // every value NaN
	flip       [channelCount]bool
	skipped    int
	rows       int
}

// role is what a field does for its row.
type role uint8

const (
	roleValue role = iota
	roleNumericTime
	roleWrittenTime
	roleDate
	roleClock
	roleWhole
	roleNanos
)

// target is a column that is read, in the order of the columns.
type target struct {
	source
	role  role
	plain bool // the unit changes nothing
}

// NewScanner finds out how the log is written and is then ready for Next. An
// error means that reading failed; whatever is wrong with the text is a finding,
// and a log that cannot be read gives no samples and at least one Error.
func NewScanner(src *finding.Source, r io.Reader, o Options) (*Scanner, error) {
	s := &Scanner{lines: newLineReader(r), report: &tally{src: src}, options: o}
	for i := range s.empty.Values {
		s.empty.Values[i] = math.NaN()
	}
	if s.lines.err != nil {
		return nil, s.lines.err
	}
	s.prepare()
	return s, nil
}

// Err is the error of reading, if reading failed.
func (s *Scanner) Err() error { return s.lines.err }

// Dialect is how the log is written.
func (s *Scanner) Dialect() Dialect { return s.dialect }

// Findings gives what the reader has to say so far. Of each rule a few are
// given one by one and the rest as a count.
func (s *Scanner) Findings() []finding.Finding { return s.report.findings() }

// Rows counts the samples given out, Skipped the rows left out.
func (s *Scanner) Rows() int    { return s.rows }
func (s *Scanner) Skipped() int { return s.skipped }

// refuse reports why the log cannot be read at all.
func (s *Scanner) refuse(rule, text, remedy string, span finding.Span) {
	s.report.add(finding.Finding{Rule: rule, Level: finding.Error, Span: span, Text: text, Remedy: remedy})
}

// Next gives the next sample, and false at the end or when reading failed.
func (s *Scanner) Next() (Sample, bool) {
	if !s.usable {
		return Sample{}, false
	}
	for {
		line, offset, long, ok := s.lines.next()
		if !ok {
			return Sample{}, false
		}
		if s.skip > 0 {
			s.skip--
			continue
		}
		if long {
			s.fault(rowFault{rule: "log-line-too-long", text: fmt.Sprintf("this line is longer than %d KiB and is left out", maxLine>>10),
				remedy: "check that the file is a log with one row to a line"}, line, offset)
			continue
		}
		sample := s.empty
		sample.Line, sample.Offset = s.lines.number, offset
		if s.row(line, offset, &sample) {
			s.rows++
			return sample, true
		}
	}
}

// rowFault is why a row is left out.
type rowFault struct {
	rule, text, remedy string
	start, length      int
}

// fault reports a row that is left out.
func (s *Scanner) fault(f rowFault, line []byte, offset int64) {
	s.skipped++
	if s.report.full(f.rule) {
		return
	}
	s.report.add(finding.Finding{Rule: f.rule, Level: finding.Warning, Text: f.text, Remedy: f.remedy,
		Span: s.report.place(line, s.lines.number, offset, f.start, f.length)})
}

// row reads one line into the sample. It reports false for a line that gives none.
func (s *Scanner) row(line []byte, offset int64, sample *Sample) bool {
	if len(line) == 0 {
		return false
	}
	if c := line[0]; !isDigit(c) && c != '-' && s.aside(line, offset) {
		return false
	}
	var t rowTime
	if s.separator != ' ' && bytes.IndexByte(line, '"') < 0 {
		if !s.plainRow(line, offset, sample, &t) {
			return false
		}
	} else if !s.splitRow(line, offset, sample, &t) {
		return false
	}
	return s.place(&t, line, offset, sample)
}

// aside handles lines among the data that are no rows.
func (s *Scanner) aside(line []byte, offset int64) bool {
	switch {
	case len(trimBlank(line)) == 0, isComment(line, s.separator):
		return true
	case s.headText != "" && string(line) == s.headText:
		number := s.lines.number
		s.report.count("log-head-repeated", 0, func() finding.Span { return s.report.place(line, number, offset, 0, len(line)) },
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

// rowTime gathers the time of a row from one or two fields.
type rowTime struct {
	stamp stamp
	set   int // how many of the time's fields were there
	start int // of the time's field
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
					t.stamp, t.start = s.form.numericStamp(v), p
					t.set++
				} else {
					if !c.plain {
						v = c.unit.toBase(v)
					}
					if math.IsInf(v, 0) {
						s.infinite(c, field{line[p:end], p}, line, offset)
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
	s.fault(rowFault{"log-short-row", fmt.Sprintf("this row has %s; the %s is in column %d", plural(have, "field"), last.channel, last.index+1),
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
	}
	v, suffix, state := parseField(f.text, s.decimal)
	u := c.unit
	if state == fieldValue && suffix != "" {
		if u = findUnit(suffix); u == nil || u.dimension != c.channel.Dimension() {
			state = fieldBad
		}
	}
	switch state {
	case fieldHole:
		return true
	case fieldBad:
		s.fault(rowFault{"log-bad-field", fmt.Sprintf("%s is no number for the %s", quoteField(f.text), c.channel),
			"the row is left out; correct the field or leave it empty", f.start, len(f.text)}, line, offset)
		return false
	}
	switch c.role {
	case roleNumericTime:
		t.stamp, t.start = s.form.numericStamp(v), f.start
		t.set++
	case roleWhole:
		t.start = f.start
		if math.Abs(v) > greatestTime {
			t.stamp.part = math.Inf(1)
		} else {
			t.stamp.whole = int64(math.Floor(v))
			t.stamp.part += v - math.Floor(v)
		}
		t.set++
	case roleNanos:
		t.stamp.part += v / 1e9
		t.set++
	default:
		v = u.toBase(v)
		if math.IsInf(v, 0) {
			s.infinite(c, f, line, offset)
			return false
		}
		sample.Values[c.channel] = v
	}
	return true
}

func (s *Scanner) infinite(c *target, f field, line []byte, offset int64) {
	s.fault(rowFault{"log-bad-field", fmt.Sprintf("%s is too great for the %s", quoteField(f.text), c.channel), "the row is left out; correct the field or leave it empty", f.start, len(f.text)}, line, offset)
}

// quoteField quotes a field for a message, cut to a length that can be read.
func quoteField(text []byte) string {
	const most = 40
	if len(text) > most {
		return fmt.Sprintf("%q…", text[:most])
	}
	return fmt.Sprintf("%q", text)
}

func (s *Scanner) writtenTime(c *target, f field, line []byte, offset int64, t *rowTime) bool {
	text := trimBlank(f.text)
	if len(text) == 0 {
		return true
	}
	form := s.form
	if c.role == roleClock {
		form = timeClock
	}
	v, ok := form.parseStamp(text)
	if !ok && c.role == roleClock {
		v, ok = timeHoursMinutes.parseStamp(text)
	}
	if !ok {
		s.fault(rowFault{"log-bad-time", fmt.Sprintf("%s is no time of the form of the other rows", quoteField(f.text)),
			"the row is left out", f.start, len(f.text)}, line, offset)
		return false
	}
	t.stamp.whole += v.whole
	t.stamp.part += v.part
	t.start = f.start
	t.set++
	return true
}

// place gives the sample its time and its signs.
func (s *Scanner) place(t *rowTime, line []byte, offset int64, sample *Sample) bool {
	if s.form == timeStep {
		t.stamp = stamp{part: float64(s.clock.rows) * s.step}
	}
	if t.set < s.timeFields {
		s.fault(rowFault{"log-no-time-in-row", "this row has no time and is left out", "", t.start, 0}, line, offset)
		return false
	}
	if !t.stamp.usable() {
		s.fault(rowFault{"log-bad-time", "this time is beyond any log", "the row is left out", t.start, 0}, line, offset)
		return false
	}
	number := s.lines.number
	sample.Time, sample.Restart = s.clock.place(t.stamp, s.form, s.report, func() finding.Span {
		return s.report.place(line, number, offset, t.start, 0)
	})
	sample.Values[Time] = sample.Time
	for c, flip := range s.flip {
		if flip {
			sample.Values[c] = -sample.Values[c]
		}
	}
	return true
}

func (s *Scanner) hasRole(r role) bool {
	return slices.ContainsFunc(s.columns, func(c target) bool { return c.role == r })
}

// prepare sniffs the prefix and sets everything up.
func (s *Scanner) prepare() {
	text := s.lines.buf
	if !s.checkEncoding(text) {
		return
	}
	s.dialect.LineEnd = "LF"
	if bytes.IndexByte(text, '\n') < 0 && bytes.IndexByte(text, '\r') >= 0 {
		s.dialect.LineEnd, s.lines.end = "CR", '\r'
	} else if bytes.Contains(text, []byte("\r\n")) {
		s.dialect.LineEnd = "CRLF"
	}
	all := cutLines(text, s.lines.end, s.lines.whole())
	if len(all) > 0 && s.mark {
		all[0].text = bytes.TrimPrefix(all[0].text, []byte("\ufeff"))
		s.lines.start = len("\ufeff")
	}
	lines := all[:min(len(all), sniffLines)]
	for i, l := range lines {
		if len(l.text) > maxLine {
			lines[i].text = nil
		}
	}
	if !s.checkOptions() {
		return
	}
	best, second := findLayout(lines, s.options.Separator, s.options.Decimal)
	if best.rows == 0 {
		s.refuse("log-no-rows", "no rows of numbers are found in this file", "attach the log as text with one row to a line, its fields separated by commas, semicolons, tabs or blanks", s.whole())
		return
	}
	if !s.checkDecimal(best, second, lines) {
		return
	}
	s.arrange(best, lines)
}

func (s *Scanner) whole() finding.Span { return finding.Span{Source: s.report.src} }

// checkEncoding refuses what is no text in UTF-8.
func (s *Scanner) checkEncoding(text []byte) bool {
	const rule = "log-encoding"
	switch {
	case len(bytes.Trim(text, " \t\r\n\ufeff")) == 0 && s.lines.whole():
		s.refuse("log-empty", "this log is empty", "attach the log that the run made, or take `log:` out", s.whole())
		return false
	case bytes.HasPrefix(text, []byte{0xff, 0xfe}), bytes.HasPrefix(text, []byte{0xfe, 0xff}):
		s.refuse(rule, "this file is UTF-16 text", "save it as UTF-8: in a spreadsheet, export as \"CSV UTF-8\"; in an editor, choose UTF-8 when saving", s.whole())
		return false
	case bytes.HasPrefix(text, []byte("PK\x03\x04")):
		s.refuse(rule, "this file is a spreadsheet or another zip archive, not text", "open it in a spreadsheet and export the sheet as CSV UTF-8", s.whole())
		return false
	}
	if i := bytes.IndexByte(text, 0); i >= 0 {
		line := text[bytes.LastIndexByte(text[:i], '\n')+1 : i+1]
		number := 1 + bytes.Count(text[:i], []byte("\n"))
		span := s.report.place(line, number, int64(i+1-len(line)), len(line)-1, 1)
		s.refuse(rule, "this file holds a zero byte, so it is no text (or UTF-16 without a mark)", "export the log as UTF-8 text; if the logger lost power while writing, cut the zero bytes off", span)
		return false
	}
	s.dialect.Encoding = "UTF-8"
	if bytes.HasPrefix(text, []byte("\ufeff")) {
		s.mark = true
		s.dialect.Encoding = "UTF-8 with a byte order mark"
	} else if whole := text[:lastEnd(text, '\n')]; !utf8.Valid(whole) {
		s.dialect.Encoding = "heads read as Latin-1"
	}
	return true
}

// checkOptions reports stated words that are unknown.
func (s *Scanner) checkOptions() bool {
	good := true
	check := func(what, word string, known []string) {
		if word == "" || slices.Contains(known, word) {
			return
		}
		good = false
		remedy := "write one of: " + strings.Join(known, ", ")
		if near, ok := finding.Nearest(word, known); ok {
			remedy = fmt.Sprintf("did you mean %q?", near)
		}
		s.refuse("log-unknown-word", fmt.Sprintf("%q is no %s that is known", word, what), remedy, s.whole())
	}
	var words []string
	for _, sep := range separators {
		words = append(words, sep.word)
	}
	check("separator", s.options.Separator, words)
	check("decimal sign", s.options.Decimal, []string{"point", "comma"})
	check("form of time", s.options.TimeFormat, timeFormWords())
	return good
}

// checkDecimal refuses to guess where a comma may separate or be a decimal
// sign, and says so where it may have parted thousands.
func (s *Scanner) checkDecimal(best, second layout, lines []sniffLine) bool {
	span := s.linePlace(lines[best.first])
	if s.options.Decimal == "" && s.options.Separator == "" && best.separator == ',' && best.decimal == '.' && best.fields == 2 &&
		second.rows >= best.rows && second.decimal == ',' && second.fields == 1 {
		s.refuse("log-decimal-open", fmt.Sprintf("%q may be two whole numbers or one number with a decimal comma: nothing in the log tells", lines[best.first].text),
			"state `decimal: comma` with `separator: semicolon` for one number, or `separator: comma` for two", span)
		return false
	}
	if named := namesAbove(lines, best); best.separator == ',' && named > 1 && best.fields >= 2*named-1 && best.fields > named+1 {
		s.refuse("log-decimal-open", fmt.Sprintf("the rows have %d fields but the head names %d: the comma seems to be both separator and decimal sign", best.fields, named),
			"export the log again with semicolons between the fields, or with decimal points", span)
		return false
	}
	if s.options.Decimal == "" && best.decimal == ',' && thousandsLike(best, lines) {
		s.report.add(finding.Finding{Rule: "log-decimal-assumed", Level: finding.Warning, Span: span,
			Text:   "every number with a comma has exactly three digits behind it; the comma is read as the decimal sign, not as a mark of thousands",
			Remedy: "state `decimal: comma` if that is right; else export the log without marks of thousands"})
	}
	return true
}

// namesAbove counts the fields of the line above the data if none of them is a number.
func namesAbove(lines []sniffLine, l layout) int {
	for i := l.first - 1; i >= 0; i-- {
		if len(trimBlank(lines[i].text)) == 0 || isComment(lines[i].text, l.separator) {
			continue
		}
		var cells []string
		for _, f := range new(fieldSplitter).split(lines[i].text, l.separator) {
			if kind := kindOf(f.text, l.decimal); kind == kindNumber || kind == kindTime {
				return 0
			}
			cells = append(cells, string(f.text))
		}
		return len(trimEmpty(cells))
	}
	return 0
}

func trimEmpty(cells []string) []string {
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// thousandsLike says whether every comma in the rows could part thousands.
func thousandsLike(l layout, lines []sniffLine) bool {
	var splitter fieldSplitter
	commas := 0
	for _, line := range lines[l.first:] {
		for _, f := range splitter.split(line.text, l.separator) {
			t := bytes.TrimLeft(trimBlank(f.text), "+-")
			i := bytes.IndexByte(t, ',')
			if i < 0 || kindOf(t, ',') != kindNumber {
				continue
			}
			if i == 0 || i > 3 || t[0] == '0' || len(t)-i-1 != 3 {
				return false
			}
			commas++
		}
	}
	return commas > 0
}

func (s *Scanner) linePlace(l sniffLine) finding.Span {
	return s.report.place(l.text, l.number, s.lineOffset(l), 0, len(l.text))
}

// lineOffset is the offset of a sniffed line; the first begins behind a byte order mark.
func (s *Scanner) lineOffset(l sniffLine) int64 {
	if l.number == 1 && s.mark {
		return int64(l.offset) + 3
	}
	return int64(l.offset)
}

// arrange turns the layout and the head into columns, time and signs.
func (s *Scanner) arrange(l layout, lines []sniffLine) {
	h := findHead(lines, l)
	d := &s.dialect
	d.Separator, d.Decimal = separatorWord(l.separator), "point"
	if l.decimal == ',' {
		d.Decimal = "comma"
	}
	d.HeadRows, d.Preamble, d.Comments, d.FirstData = h.rows, h.preamble, h.comments, lines[l.first].number
	s.separator, s.decimal = l.separator, l.decimal
	s.skip = l.first
	s.maxFields = max(l.fields, len(h.names))
	span := s.linePlace(lines[l.first])
	if h.line > 0 {
		span = s.linePlace(lines[h.line-1])
		if !h.commentHead {
			s.headText = string(lines[h.line-1].text)
		}
	}
	rows := gatherRows(l, lines)
	for _, line := range lines[l.first:] {
		d.Quoted = d.Quoted || bytes.IndexByte(line.text, '"') >= 0
	}
	a := assigner{layout: l, options: s.options, window: rows.values, report: s.report, headSpan: span}
	plan := a.assign(h)
	if !s.setTime(plan, rows, h, span) {
		return
	}
	for _, src := range plan.sources {
		s.columns = append(s.columns, target{src, roleValue, src.unit.plain()})
	}
	slices.SortFunc(s.columns, func(x, y target) int { return x.index - y.index })
	s.describeColumns(&a, h)
	if !s.checkChannels(&a, span) {
		return
	}
	s.usable = true
	s.findSigns(plan, lines, span)
}

// sniffRows are the values of the sniffed rows: numbers, and the texts of the
// columns that hold written times.
type sniffRows struct {
	values [][]float64
	texts  [][][]byte // by column
}

func gatherRows(l layout, lines []sniffLine) sniffRows {
	r := sniffRows{texts: make([][][]byte, l.fields)}
	var splitter fieldSplitter
	for _, line := range lines[l.first:] {
		if len(trimBlank(line.text)) == 0 || isComment(line.text, l.separator) {
			continue
		}
		fields := splitter.split(line.text, l.separator)
		if len(fields) < l.fields-1 {
			continue
		}
		row := make([]float64, l.fields)
		for j := range row {
			row[j] = math.NaN()
			if j >= len(fields) {
				continue
			}
			if v, _, state := parseField(fields[j].text, l.decimal); state == fieldValue {
				row[j] = v
			}
			if t := trimBlank(fields[j].text); len(t) > 0 && l.kinds[j] == kindTime {
				r.texts[j] = append(r.texts[j], t)
			}
		}
		r.values = append(r.values, row)
	}
	return r
}

func (r *sniffRows) column(i int) []float64 {
	var out []float64
	for _, row := range r.values {
		if i < len(row) && !math.IsNaN(row[i]) {
			out = append(out, row[i])
		}
	}
	return out
}

// describeColumns fills in what the dialect says of the columns.
func (s *Scanner) describeColumns(a *assigner, h headRows) {
	d := &s.dialect
	for _, c := range s.columns {
		column := Column{Channel: c.channel, Number: c.index + 1, Name: c.name, From: c.from}
		if c.named {
			column.Unit = c.unit.symbol
		}
		if c.from == "head" && h.namesFromPreamble != "" {
			column.From = "named in a line above"
		}
		d.Columns = append(d.Columns, column)
	}
	slices.SortStableFunc(d.Columns, func(x, y Column) int { return int(x.Channel) - int(y.Channel) })
	for i, name := range a.plan.names {
		used := slices.ContainsFunc(s.columns, func(c target) bool { return c.index == i })
		if !used && name != "" {
			d.Unused = append(d.Unused, name)
		}
	}
}

// checkChannels says what is missing.
func (s *Scanner) checkChannels(a *assigner, span finding.Span) bool {
	s.dialect.HasCurrent = a.has(Current)
	missing, level := "", finding.Warning
	switch v, i := a.has(Voltage), a.has(Current); {
	case v && i:
		return true
	case v:
		missing, level = "no current is recognised", finding.Note
	case i:
		missing = "no voltage is recognised"
	case len(a.plan.sources) == 0:
		missing, level = "neither a voltage nor a current is recognised", finding.Error
	default:
		missing = "neither a voltage nor a current is recognised"
	}
	s.report.add(finding.Finding{Rule: "log-columns-missing", Level: level, Span: span,
		Text:   fmt.Sprintf("%s; the log has %s", missing, a.columnList()),
		Remedy: "if a column holds it, state it by head or number: `columns: {voltage: U_pack, current: \"#3\"}`"})
	return level != finding.Error
}

// setTime chooses the form of the time and its columns.
func (s *Scanner) setTime(plan columnPlan, rows sniffRows, h headRows, span finding.Span) bool {
	stated, isStated := parseTimeForm(s.options.TimeFormat)
	var choice timeChoice
	add := func(i int, r role) { s.columns = append(s.columns, target{plan.time[i], r, true}) }
	switch {
	case len(plan.time) == 0:
		return s.setStep(h, span)
	case plan.split:
		add(0, roleWhole)
		add(1, roleNanos)
		choice.form = timeSplit
	case plan.dayTime:
		first, second := plan.time[0].index, plan.time[1].index
		dateFirst, c, ok := chooseDayTime(rows.texts[first], rows.texts[second])
		if !ok {
			choice = chooseWrittenTime(rows.texts[first])
			add(0, roleWrittenTime)
			break
		}
		choice = c
		if dateFirst {
			add(0, roleDate)
			add(1, roleClock)
		} else {
			add(0, roleClock)
			add(1, roleDate)
		}
	default:
		t := plan.time[0]
		if t.index < len(rows.texts) && len(rows.texts[t.index]) > 0 {
			choice = chooseWrittenTime(rows.texts[t.index])
			add(0, roleWrittenTime)
		} else {
			choice = chooseNumericTime(rows.column(t.index), t.unit, t.named)
			add(0, roleNumericTime)
		}
		if t.from == "it only rises" && choice.form == timeSeconds {
			choice.from = fmt.Sprintf("assumed: column %d only rises", t.index+1)
		}
	}
	if isStated && choice.form != timeSplit {
		if stated.numeric() != s.hasRole(roleNumericTime) {
			s.refuse("log-time-form", fmt.Sprintf("the time is stated as %s, but the column is not written so", stated.word()), "take `time:` out to have the form found, or name another column", span)
			return false
		}
		choice = timeChoice{form: stated, from: "stated"}
	}
	if choice.problem != "" {
		s.refuse("log-time-form", choice.problem, choice.remedy, span)
		return false
	}
	if choice.suspicious != "" {
		s.report.add(finding.Finding{Rule: "log-unit-assumed", Level: finding.Warning, Span: span, Text: choice.suspicious,
			Remedy: "state `time: milliseconds` or `time: seconds`"})
	}
	s.form, s.timeFields = choice.form, len(s.columns)
	s.dialect.TimeForm, s.dialect.Time, s.dialect.TimeFrom = choice.form.word(), timeFormFacts[choice.form].description, choice.from
	if s.hasRole(roleClock) {
		s.dialect.Time = strings.Replace(s.dialect.Time, "date and clock", "date and clock in two columns", 1)
	}
	return true
}

func (f timeForm) word() string { return timeFormFacts[f].word }

// setStep finds the sample interval of a log without a time column.
func (s *Scanner) setStep(h headRows, span finding.Span) bool {
	step, from := float64(s.options.Step), "stated"
	if !(step > 0) {
		var text string
		step, text = stepInText(h.above)
		from = fmt.Sprintf("found above the data: %q", text)
	}
	if !(step > 0) {
		s.refuse("log-no-time", "the log has no time column and names no sample interval", "state the interval, such as `step: 1 s`, or name the column: `columns: {time: \"#1\"}`", span)
		return false
	}
	s.form, s.step, s.dialect.Step = timeStep, step, step
	s.dialect.Time = fmt.Sprintf("no time column, a row every %s", quantity.Quantity{Dimension: quantity.Time, Value: step, Decimals: -1})
	s.dialect.TimeFrom = from
	return true
}
