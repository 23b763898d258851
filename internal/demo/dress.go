package demo

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// A dress is the way in which one logger writes its file.
type dress struct {
	preamble  []string // whole lines before the head
	head      []string
	units     []string // nil for no unit row
	separator string
	comma     bool // decimal comma
	bom, crlf bool
	// clock writes the time of a row, seconds from the start of the run.
	clock  func(seconds float64) string
	meters []meter // the columns after the time
}

// A fault is something that went wrong in the file rather than on the bench; it acts on the rows from one number to
// another, counted from 0, the latter not included.
type fault struct {
	from, to int
	kind     faultKind
	column   int     // of the cell, for wrong and blank; 0 is the first after the time
	text     string  // the wrong cell as it stands in the file
	seconds  float64 // how far the clock steps
}

type faultKind int

const (
	lost     faultKind = iota // the rows are missing
	wrong                     // one cell reads something that cannot be
	blank                     // one cell is empty
	repeated                  // the time stamp of the row before is written again
	stepped                   // from here on the logger's clock is off by some seconds
)

// write renders the rows as the logger would, with its faults. The noise of the meters comes from the outing's own
// random numbers, so that an outing must be written once, and once only.
func (s *outing) write(d dress, faults ...fault) []byte {
	var b strings.Builder
	end := "\n"
	if d.crlf {
		end = "\r\n"
	}
	if d.bom {
		b.WriteString("\ufeff")
	}
	for _, line := range d.preamble {
		b.WriteString(line + end)
	}
	for _, cells := range [][]string{d.head, d.units} {
		if cells != nil {
			b.WriteString(strings.Join(cells, d.separator) + end)
		}
	}
	before := ""
	for n, r := range s.rows {
		at, gone := r.at, false
		cells := make([]string, 1, len(d.meters)+1)
		for _, m := range d.meters {
			cells = append(cells, d.number(m.read(r, s.rng.NormFloat64), m.decimals))
		}
		for _, f := range faults {
			switch {
			case f.kind == stepped && n >= f.from:
				at += f.seconds
			case n < f.from || n >= f.to:
			case f.kind == lost:
				gone = true
			case f.kind == wrong:
				cells[f.column+1] = f.text
			case f.kind == blank:
				cells[f.column+1] = ""
			}
		}
		if gone {
			continue
		}
		cells[0] = d.clock(at)
		for _, f := range faults {
			if f.kind == repeated && n >= f.from && n < f.to {
				cells[0] = before
			}
		}
		before = cells[0]
		b.WriteString(strings.Join(cells, d.separator) + end)
	}
	return []byte(b.String())
}

// number writes a reading with its decimals; it never writes a negative zero.
func (d dress) number(v float64, decimals int) string {
	if math.Abs(v) < math.Pow(10, -float64(decimals))/2 {
		v = 0
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if d.comma {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}

// seconds writes the time as a plain number of seconds.
func (d dress) seconds(decimals int) func(float64) string {
	return func(t float64) string { return d.number(t, decimals) }
}

// milliseconds writes the time as whole milliseconds.
func milliseconds(t float64) string { return strconv.Itoa(int(math.Round(t * 1000))) }

// minutes writes the time in minutes with decimals.
func minutes(decimals int) func(float64) string {
	return func(t float64) string { return strconv.FormatFloat(t/60, 'f', decimals, 64) }
}

// hours writes h:mm:ss.
func hours(t float64) string {
	s := int(math.Round(t))
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
}

// calendar writes the date and time by a layout of package time, from the moment the run began.
func calendar(began time.Time, layout string) func(float64) string {
	return func(t float64) string {
		return began.Add(time.Duration(math.Round(t*1000)) * time.Millisecond).Format(layout)
	}
}
