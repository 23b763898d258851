package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// sheet is a log taken apart into its cells.
type sheet struct {
	name  string
	above []string // lines above the rows
	head  int      // of these, the one with the names; -1 for none
	units int      // the one with the units; -1 for none
	sep   string
	comma bool // decimal comma
	rows  [][]string

	columns  []Column  // as the good log is read
	compared []Column  // second columns of a kind
	times    []float64 // of its rows, as it is read; NaN for a row that is not, s
	longest  float64   // interval between them, s
}

// cut takes a good log apart, as it is read.
func cut(t *testing.T, name, text string) *sheet {
	t.Helper()
	s, err := NewScanner(finding.NewStream(name), strings.NewReader(text), NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	d := s.Dialect()
	longest, last := 0.0, math.NaN()
	times := map[int]float64{}
	for {
		row, ok := s.Next()
		if !ok {
			break
		}
		if row.Time-last > longest {
			longest = row.Time - last
		}
		last = row.Time
		times[row.Line] = row.Time
	}
	lines := strings.Split(strings.TrimRight(strings.ReplaceAll(text, "\r\n", "\n"), "\n"), "\n")
	out := &sheet{name: name, above: lines[:d.FirstData-1], head: -1, units: -1, comma: d.Decimal == "comma", columns: d.Columns, compared: d.Compared, longest: longest}
	for _, sep := range separators {
		if sep.word == d.Separator {
			out.sep = string(sep.char)
		}
	}
	if d.HeadRows >= 1 {
		out.head = len(out.above) - d.HeadRows
	}
	if d.HeadRows >= 2 {
		out.units = len(out.above) - 1
	}
	for k, line := range lines[d.FirstData-1:] {
		at, ok := times[d.FirstData+k]
		if !ok {
			at = math.NaN()
		}
		out.times = append(out.times, at)
		out.rows = append(out.rows, strings.Split(line, out.sep))
	}
	return out
}

// moves is the range of a column.
func (s *sheet) moves(c Channel) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, column := range s.columns {
		for _, row := range s.rows {
			if column.Channel == c && column.Number <= len(row) {
				if x, ok := s.number(row[column.Number-1]); ok {
					low, high = math.Min(low, x), math.Max(high, x)
				}
			}
		}
	}
	return high - low
}

func (s *sheet) clone() *sheet {
	out := *s
	out.above = slices.Clone(s.above)
	out.rows = make([][]string, len(s.rows))
	for k := range s.rows {
		out.rows[k] = slices.Clone(s.rows[k])
	}
	return &out
}

func (s *sheet) text() string {
	var b strings.Builder
	for _, line := range s.above {
		b.WriteString(line + "\n")
	}
	for _, row := range s.rows {
		b.WriteString(strings.Join(row, s.sep) + "\n")
	}
	return b.String()
}

// number reads and writes a cell in the sheet's own decimal mark.
func (s *sheet) number(cell string) (float64, bool) {
	if s.comma {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
	return x, err == nil
}

func (s *sheet) cell(x float64) string {
	text := strconv.FormatFloat(x, 'f', -1, 64)
	if s.comma {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}

// change works on the numbers of a column from one row to another; it reports whether there were any.
func (s *sheet) change(column, from, to int, f func(float64) float64) bool {
	any := false
	for _, row := range s.rows[from:to] {
		if column < len(row) {
			if x, ok := s.number(row[column]); ok {
				row[column] = s.cell(f(x))
				any = true
			}
		}
	}
	return any
}

// damaged is one damage to one log.
type damaged struct {
	kind    string
	channel Channel // that it concerns; Time for whole rows
	with    Channel // the other one, where there are two; else the same
	whole   bool    // the column is changed throughout
	what    string
	from    int // the rows that are changed, where it is a stretch of them; both 0 where not
	to      int
	jump    float64 // of the clock, s,
	row     int     // and at which row
	sheet   *sheet
}

// damages lists the ways in which a log is damaged. Each reports false where the log has nothing to damage so. The first often of
// them are drawn twice as often as the others.
const often = 6

var damages = []struct {
	kind string
	do   func(s *sheet, r *rand.Rand, d *damaged) bool
}{
	{"column dropped", func(s *sheet, r *rand.Rand, d *damaged) bool {
		c := s.pick(r, d)
		for k := range s.rows {
			if c < len(s.rows[k]) {
				s.rows[k] = slices.Delete(s.rows[k], c, c+1)
			}
		}
		for _, h := range []int{s.head, s.units} {
			if h >= 0 {
				cells := strings.Split(s.above[h], s.sep)
				if c < len(cells) {
					s.above[h] = strings.Join(slices.Delete(cells, c, c+1), s.sep)
				}
			}
		}
		d.whole = true
		return true
	}},
	{"unit swapped", func(s *sheet, r *rand.Rand, d *damaged) bool {
		c := s.pick(r, d)
		for _, h := range []int{s.units, s.head} {
			if h < 0 {
				continue
			}
			cells := strings.Split(s.above[h], s.sep)
			if c >= len(cells) {
				continue
			}
			parts := strings.FieldsFunc(cells[c], func(r rune) bool { return strings.ContainsRune(" _()[]", r) })
			if len(parts) == 0 {
				continue
			}
			last := parts[len(parts)-1]
			if to := anotherUnit(last, r); to != "" {
				at := strings.LastIndex(cells[c], last)
				cells[c] = cells[c][:at] + to + cells[c][at+len(last):]
				s.above[h] = strings.Join(cells, s.sep)
				d.whole, d.what = true, last+" to "+to
				return true
			}
		}
		return false
	}},
	{"factor 1000", func(s *sheet, r *rand.Rand, d *damaged) bool {
		factor := 1000.0
		if r.IntN(2) == 0 {
			factor = 0.001
		}
		d.what = fmt.Sprintf("times %g", factor)
		return s.stretch(r, d, func(x float64) float64 { return x * factor })
	}},
	{"sign turned", func(s *sheet, r *rand.Rand, d *damaged) bool {
		return s.stretch(r, d, func(x float64) float64 { return -x })
	}},
	{"rows shuffled", func(s *sheet, r *rand.Rand, d *damaged) bool {
		from, to := 0, len(s.rows)
		if r.IntN(2) == 0 {
			from, to = s.some(r, d)
		}
		d.what = fmt.Sprintf("rows %d to %d", from, to)
		part := s.rows[from:to]
		r.Shuffle(len(part), func(a, b int) { part[a], part[b] = part[b], part[a] })
		return true
	}},
	{"cells blanked", func(s *sheet, r *rand.Rand, d *damaged) bool {
		c := s.pick(r, d)
		share := []float64{0.02, 0.1, 0.3}[r.IntN(3)]
		n := 0
		for _, row := range s.rows {
			if c < len(row) && row[c] != "" && r.Float64() < share {
				row[c] = ""
				n++
			}
		}
		d.what = fmt.Sprintf("%d cells", n)
		return n > 0
	}},
	{"rows duplicated", func(s *sheet, r *rand.Rand, d *damaged) bool {
		from, to := s.some(r, d)
		block := slices.Clone(s.rows[from:to])
		switch r.IntN(3) {
		case 0: // each twice
			var out [][]string
			for k, row := range s.rows {
				out = append(out, row)
				if k >= from && k < to {
					out = append(out, row)
				}
			}
			s.rows, d.what = out, "each of a block twice"
			d.to += len(block)
		case 1:
			s.rows, d.what = slices.Insert(s.rows, to, block...), "a block twice"
			d.to += len(block)
		default:
			d.from, d.to = len(s.rows), len(s.rows)+len(block)
			s.rows, d.what = append(s.rows, block...), "a block again at the end"
		}
		return true
	}},
	{"separator changed", func(s *sheet, r *rand.Rand, d *damaged) bool {
		to := []string{",", ";", "\t", " ", "|"}[r.IntN(5)]
		if to == s.sep || to == "," && s.comma {
			return false
		}
		from, until := 0, len(s.rows)
		if r.IntN(2) == 0 {
			from, until = s.some(r, d)
		} else {
			for k := range s.above {
				s.above[k] = strings.ReplaceAll(s.above[k], s.sep, to)
			}
			d.whole = true
		}
		for k := from; k < until; k++ {
			s.rows[k] = []string{strings.Join(s.rows[k], to)}
		}
		d.what = fmt.Sprintf("%q to %q", s.sep, to)
		return true
	}},
	{"decimal mark changed", func(s *sheet, r *rand.Rand, d *damaged) bool {
		c := s.pick(r, d)
		from, to := 0, len(s.rows)
		if r.IntN(2) == 0 {
			from, to = s.some(r, d)
		} else {
			d.whole = true
		}
		old, mark := ".", ","
		if s.comma {
			old, mark = ",", "."
		}
		any := false
		for _, row := range s.rows[from:to] {
			if c < len(row) && strings.Contains(row[c], old) {
				row[c] = strings.Replace(row[c], old, mark, 1)
				any = true
			}
		}
		return any
	}},
	{"heads swapped", func(s *sheet, r *rand.Rand, d *damaged) bool {
		if s.head < 0 {
			return false
		}
		a, b, ok := s.two(r, d)
		if !ok {
			return false
		}
		for _, h := range []int{s.head, s.units} {
			if h >= 0 {
				cells := strings.Split(s.above[h], s.sep)
				cells[a], cells[b] = cells[b], cells[a]
				s.above[h] = strings.Join(cells, s.sep)
			}
		}
		d.whole = true
		return true
	}},
	{"columns exchanged", func(s *sheet, r *rand.Rand, d *damaged) bool {
		a, b, ok := s.two(r, d)
		if !ok {
			return false
		}
		from, to := s.some(r, d)
		for _, row := range s.rows[from:to] {
			if a < len(row) && b < len(row) {
				row[a], row[b] = row[b], row[a]
			}
		}
		return true
	}},
	{"clock jumps", func(s *sheet, r *rand.Rand, d *damaged) bool {
		c := -1
		for _, column := range s.columns {
			if column.Channel == Time {
				c = column.Number - 1
			}
		}
		if c < 0 {
			for k, cell := range s.rows[len(s.rows)/2] { // the time is not listed: the first column that only rises
				if x, ok := s.number(cell); ok {
					if y, ok := s.number(s.rows[len(s.rows)/2+1][k]); ok && y > x {
						c = k
						break
					}
				}
			}
		}
		if c < 0 {
			return false
		}
		from := len(s.rows)/10 + r.IntN(len(s.rows)*8/10)
		size := []float64{30, 600, 7200, -30, -600}[r.IntN(5)]
		d.jump, d.row, d.from, d.to = size, from, from, from+1 // all the logs with such columns count seconds, but for minutes in one, which has a second time
		d.what = fmt.Sprintf("%g in the column's unit, at row %d", size, from)
		return s.change(c, from, len(s.rows), func(x float64) float64 { return x + size })
	}},
}

// pick chooses a column that is read.
func (s *sheet) pick(r *rand.Rand, d *damaged) int {
	c := s.columns[r.IntN(len(s.columns))]
	d.channel, d.with = c.Channel, c.Channel
	d.what = c.Channel.String()
	return c.Number - 1
}

func (s *sheet) two(r *rand.Rand, d *damaged) (a, b int, ok bool) {
	if len(s.columns) < 2 {
		return 0, 0, false
	}
	order := r.Perm(len(s.columns))
	x, y := s.columns[order[0]], s.columns[order[1]]
	d.channel, d.with, d.what = x.Channel, y.Channel, fmt.Sprintf("%s with %s", x.Channel, y.Channel)
	return x.Number - 1, y.Number - 1, true
}

// some chooses a stretch of a tenth to a half of the rows.
func (s *sheet) some(r *rand.Rand, d *damaged) (from, to int) {
	n := len(s.rows)/10 + r.IntN(len(s.rows)*4/10)
	d.from = r.IntN(len(s.rows) - n)
	d.to = d.from + n
	return d.from, d.to
}

// anotherUnit draws a unit of the same dimension, as a head would write it; "" for a word that is no unit.
func anotherUnit(word string, r *rand.Rand) string {
	u := findUnit(word)
	if u == nil {
		return ""
	}
	var others []string
	for k := range units {
		if units[k].Dimension() == u.Dimension() && units[k].Symbol() != u.Symbol() {
			others = append(others, units[k].Symbol())
		}
	}
	if len(others) == 0 {
		return ""
	}
	return others[r.IntN(len(others))]
}

// stretch changes a column, throughout or from a row on.
func (s *sheet) stretch(r *rand.Rand, d *damaged, f func(float64) float64) bool {
	what := d.what
	c := s.pick(r, d)
	from, to := 0, len(s.rows)
	if d.whole = r.IntN(2) == 0; !d.whole {
		from, to = s.some(r, d)
	}
	d.what = strings.TrimSpace(d.what + " " + what)
	return s.change(c, from, to, f)
}

// checked are the figures that are held against the good log.
var checked = []string{"elapsed-time", "charge-out", "charge-in", "energy-out", "energy-in", "peak-current", "lowest-voltage", "start-voltage", "end-voltage", "distance", "top-speed", "temperature-rise"}

// figureInterval is a figure with the half-width of the interval that is printed of it: the expanded uncertainty, or what the
// samples leave where no instrument is stated.
func figureInterval(r *Result, name string) (value, half float64, ok bool) {
	f, _ := r.Figure(name)
	if f.Quantity.Why() != "" {
		return 0, 0, false
	}
	half = 2 * numberOf(f).U
	switch name {
	case "charge-out":
		half = 2 * float64(r.Charge.Sampling.Out)
	case "charge-in":
		half = 2 * float64(r.Charge.Sampling.In)
	case "energy-out":
		half = 2 * float64(r.Energy.Sampling.Out)
	case "energy-in":
		half = 2 * float64(r.Energy.Sampling.In)
	}
	if math.IsNaN(half) {
		half = 0
	}
	return numberOf(f).Value, half, true
}

// outside lists the figures of a damaged log that lie outside their own interval about the good log's.
func outside(bad, good *Result) []string {
	var list []string
	for _, name := range checked {
		x, half, ok := figureInterval(bad, name)
		y, own, known := figureInterval(good, name)
		if !ok || !known {
			continue
		}
		least := 1e-6 + 0.001*math.Abs(y)
		if name == "charge-in" || name == "energy-in" { // a trickle beside a discharge
			other, _, _ := figureInterval(good, strings.Replace(name, "in", "out", 1))
			least += 0.01 * math.Abs(other)
		}
		if name == "distance" {
			least *= 10 // printed without an interval; the speed over the time comes within a hundredth of it
		}
		if math.Abs(x-y) > half+own+least {
			list = append(list, fmt.Sprintf("%s %.4g for %.4g", name, x, y))
		}
	}
	return list
}

func measureText(t *testing.T, text string) (*Result, []finding.Finding) {
	t.Helper()
	r, found, err := Measure(finding.NewStream("log"), strings.NewReader(text), NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	return r, found
}

func readBase(t *testing.T, path string, most int) string {
	t.Helper()
	text, err := os.ReadFile("../../" + path)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(text), "\n")
	return strings.Join(lines[:min(most, len(lines))], "")
}
