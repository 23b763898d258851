package runlog

import (
	"errors"
	"io"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
)

// ErrNotCleaned says that a log cannot be written anew so that it would be read as it was.
var ErrNotCleaned = errors.New("it is not read as a log")

// Cleaned is a log as it may leave the journal, written anew line by line while it is read: each line of the log gives one
// line. Of the table stay the columns that are read and those that name an electrical or thermal quantity, with the cells
// that hold what the reader takes from them; of the lines above it the heads, the units and the interval. Positions, and
// whatever else the log holds, are left blank. What is read from it is what was read from the log: the same columns, times, signs
// and values, line by line.
type Cleaned struct {
	s         *Scanner
	columns   []cleanColumn
	spread    PublishedPlaces
	end       string
	head      map[int]string // by line number, what stands in place of a line above the data
	shortened map[int]bool   // lines above the data of which a part stays
	headRow   string         // the head as it is written anew, for a logger that writes it again
	row       parsedRow
	was       Point // the last position of a whole row
	located   bool
	text      []byte // written and not given out yet
	first     []byte // the line that is being read
	taken     Taken
	done      bool
}

// PublishedPlaces says which positions of a log may be published: none, unless the maker asks, and then none within a zone.
type PublishedPlaces struct {
	Asked bool
	Zones []Zone
}

// NewCleaned prepares a log to be written anew. The options are those that it is measured with. The error wraps ErrNotCleaned
// where the log cannot be read.
func NewCleaned(r io.Reader, o Options, places PublishedPlaces) (*Cleaned, error) {
	s, err := NewScanner(finding.NewStream("log"), r, o)
	if err != nil {
		return nil, err
	}
	if !s.usable {
		return nil, ErrNotCleaned
	}
	s.report = &tally{quiet: true}
	c := &Cleaned{s: s, spread: places, end: "\n", head: map[int]string{}, shortened: map[int]bool{}}
	switch s.dialect.LineEnd {
	case "CRLF":
		c.end = "\r\n"
	case "CR":
		c.end = "\r"
	}
	c.chooseColumns()
	c.writeHead()
	if s.mark && s.wide == "" {
		c.text = append(c.text, "\ufeff"...)
	}
	return c, nil
}

// Read gives the cleaned log. After the last byte the error is io.EOF, else the reader's.
func (c *Cleaned) Read(p []byte) (n int, err error) {
	for n < len(p) { // many lines at once: whoever writes them to a file does so as often as he is given some
		if len(c.text) == 0 && !c.done {
			c.done = !c.line()
			continue
		}
		if len(c.text) == 0 {
			break
		}
		k := copy(p[n:], c.text)
		c.text = c.text[k:]
		n += k
	}
	if n > 0 || len(p) == 0 {
		return n, nil
	}
	if err := c.s.Err(); err != nil {
		return 0, err
	}
	return 0, io.EOF
}

// Taken says what was left out. It is complete once Read has come to the end.
func (c *Cleaned) Taken() Taken { return c.taken }

// line writes the next line of the log anew, and blank ones for those that a quoted cell went on in.
func (c *Cleaned) line() bool {
	s := c.s
	c.text = c.text[:0]
	line, offset, long, ok := s.lines.next()
	if !ok {
		return false
	}
	number := s.lines.number
	switch {
	case s.skip > 0:
		s.skip--
		c.above(number, line)
	case long:
		c.taken.Rows++
		c.put(strings.Repeat("x", maxLine+1))
	default:
		c.putRow(line, offset)
	}
	for k := number; k < s.lines.number; k++ {
		c.put("")
	}
	return true
}

func (c *Cleaned) put(text string) {
	c.text = append(append(c.text, text...), c.end...)
}

// putRow puts what stands in place of a line among the data.
func (c *Cleaned) putRow(line []byte, offset int64) {
	s := c.s
	if s.headText != "" && string(line) == s.headText {
		c.put(c.headRow)
		return
	}
	c.row.sample, s.left = s.empty, ""
	c.first = append(c.first[:0], line...) // reading may move the buffer
	whole, ok := s.row(line, offset, &c.row)
	if ok && c.asItIs(whole) {
		c.text = append(append(c.text, whole...), c.end...)
		return
	}
	c.put(c.rowText(whole, ok))
}

// asItIs tells whether cells would give the row as it is: it has all columns, each of which stays, and in each a plain number.
func (c *Cleaned) asItIs(row []byte) bool {
	const surest = 15 // characters of a number that is one, whatever its digits are
	s := c.s
	column, p := 0, 0
	for ; ; p++ {
		if column == len(c.columns) {
			return false
		}
		k := &c.columns[column]
		if k.place || k.read == nil && !k.keep || k.read != nil && k.read.role != roleValue && k.read.role != roleNumericTime {
			return false
		}
		start := p
		if p < len(row) && row[p] == '-' {
			p++
		}
		digits := p
		for p < len(row) && isDigit(row[p]) {
			p++
		}
		if p == digits {
			return false
		}
		if p < len(row) && row[p] == s.decimal {
			behind := p + 1
			for p = behind; p < len(row) && isDigit(row[p]); p++ {
			}
			if p == behind {
				return false
			}
		}
		if p-start > surest || holeWords[string(row[start:p])] {
			return false
		}
		column++
		if p == len(row) {
			return column >= s.layout.fields && !c.located
		}
		if row[p] != s.separator {
			return false
		}
	}
}

// rowText is what stands in place of a line among the data, which was read as a row or not.
func (c *Cleaned) rowText(whole []byte, ok bool) string {
	s, first := c.s, c.first
	switch {
	case ok:
		return c.cells(whole)
	case s.left != "":
		c.taken.Rows++
		return c.leftOut(s.left, first)
	}
	if len(trimBlank(first)) > 0 {
		c.taken.Comments++
	}
	return ""
}

// cells writes a row anew that is read.
func (c *Cleaned) cells(whole []byte) string {
	fields := c.s.splitter.split(whole, c.s.separator)
	cells := make([]string, len(fields))
	for i, f := range fields {
		cells[i] = c.cell(i, fields, f.text)
	}
	if t := &c.row.time; t.placed == 2 && len(fields) >= c.s.layout.fields {
		c.was, c.located = Point{t.lat, t.long}, true
	}
	if c.located && len(fields) < c.s.layout.fields {
		c.hideShifted(cells)
	}
	return c.join(cells)
}

// hideShifted empties the cells of a row that lacks some and whose others may be shifted: those that look like the position of the
// rows before. The row is read without them, as it should have been.
func (c *Cleaned) hideShifted(cells []string) {
	const near = 0.05 // degrees, some five kilometres
	for i, cell := range cells {
		if t := c.read(i); t != nil && isTime(t.role) {
			continue
		}
		if v, _, state := parseField([]byte(cell), c.s.decimal); state == fieldValue && (math.Abs(v-c.was.Lat) < near || math.Abs(v-c.was.Long) < near) {
			cells[i] = ""
			c.taken.Cells++
		}
	}
}

// join puts cells together with the separator; one that holds it is quoted.
func (c *Cleaned) join(cells []string) string {
	separator := string(c.s.separator)
	out := slices.Clone(cells)
	for i, cell := range out {
		switch {
		case cell == "" && separator == " ":
			out[i] = noValue
		case strings.Contains(cell, separator) || strings.Contains(cell, `"`):
			out[i] = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
		}
	}
	return strings.Join(out, separator)
}

// noValue stands where a cell cannot be empty.
const noValue = "nan"
