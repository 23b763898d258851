package chart

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strconv"
	"time"
)

// Table returns the points as a table: x in the first column, one column for each series, the units in the head
// ("Time in s"). A cell is empty where a series has no point at that x. Of an enlargement, only the window is listed.
// It returns nothing for a plot that Check refuses.
func (p Plot) Table() (head []string, rows [][]string) {
	if p.Check() != nil {
		return nil, nil
	}
	head = []string{p.X.head()}
	for _, s := range p.Series {
		head = append(head, headed(s.Name, p.axis(s.Panel).unit()))
	}
	at := make([]int, len(p.Series)) // next point of each series
	for {
		x, any := 0.0, false
		for k, s := range p.Series {
			for p.X.fixed() && at[k] < len(s.X) && s.X[at[k]] < p.X.Min {
				at[k]++
			}
			if at[k] < len(s.X) && (!any || s.X[at[k]] < x) {
				x, any = s.X[at[k]], true
			}
		}
		if !any || p.X.fixed() && x > p.X.Max {
			return head, rows
		}
		row := make([]string, 1, len(head))
		row[0] = plain(x)
		if p.X.Format == Day {
			row[0] = dayOf(x).Format(time.DateOnly)
		}
		for k, s := range p.Series {
			cell := ""
			if at[k] < len(s.X) && s.X[at[k]] == x {
				cell = plain(s.Y[at[k]])
				at[k]++
			}
			row = append(row, cell)
		}
		rows = append(rows, row)
	}
}

// plain writes a number with at most seven figures, never as a power of ten, so that a table shows no noise of
// binary fractions.
func plain(v float64) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 7, 64), 64)
	if err != nil {
		short = v
	}
	if short == 0 {
		return "0"
	}
	return strconv.FormatFloat(short, 'f', -1, 64)
}

// CSV returns the table as RFC 4180 has it: a head, commas, CRLF. The error is that of Check.
func (p Plot) CSV() ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	head, rows := p.Table()
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	if err := w.WriteAll(slices.Insert(rows, 0, head)); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
