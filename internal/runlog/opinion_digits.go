package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

var digitsDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-digits-change", Level: finding.Note, Title: "A column that is written in finer digits from a row on",
	What: "Takes from the first fifty values of a column the last digit in which it is written, and says where three later values or more have two digits beyond it, and from where on fifty or more have two digits less.",
	Why:  "An instrument writes its digits alike. Where they change, it has changed its range, or a stretch of the column is in another unit.", Source: ownRule,
}

// digitsWitness follows the digits of the columns that an instrument writes.
type digitsWitness struct {
	columns [channelCount]digitsColumn
}

type digitsColumn struct {
	grain decimalGrain
	seen  int
	finer int
	first said

	last    float64
	coarse  int // values that came since the last one in about as fine digits,
	changed int // and how often they changed
	since   said
}

const (
	digitsFirst   = 50 // values that the digits are taken from
	digitsFiner   = 3  // later values in finer digits of which something is said
	digitsCoarse  = 50 // the same of those in coarser digits,
	digitsChanged = 10 // which change so often
)

var written = []Channel{Voltage, Current, Temperature, Speed, Distance}

func (w *digitsWitness) row(s *Sample) {
	for _, c := range written {
		if x := s.Values[c]; !math.IsNaN(x) {
			w.columns[c].add(x, said{line: s.Line, offset: s.Offset})
		}
	}
}

func (k *digitsColumn) add(x float64, at said) {
	if x == 0 {
		return
	}
	if k.seen++; k.seen <= digitsFirst {
		k.grain.add(x)
		k.last = x
		return
	}
	if k.grain.decimals > 5 {
		return // the digits of a computation
	}
	scaled := x * math.Pow10(k.grain.decimals+1)
	if math.Abs(scaled-math.Round(scaled)) > 1e-3 {
		if k.finer == 0 {
			k.first = at
		}
		k.finer++
	}
	if k.fine(x) {
		k.coarse, k.changed = 0, 0
	} else {
		if k.coarse == 0 {
			k.since = at
		}
		k.coarse++
		if x != k.last {
			k.changed++
		}
	}
	k.last = x
}

// fine says whether a value is written in more than two digits less than the first ones.
func (k *digitsColumn) fine(x float64) bool {
	short := x * math.Pow10(k.grain.decimals-2)
	return math.Abs(short-math.Round(short)) > 1e-3
}

// rows takes rows as row takes one: in a column that is written in no finer digits, what counts comes after the last fine value.
func (w *digitsWitness) block(r *rows) {
	for _, c := range written {
		k, x := &w.columns[c], r.of(c)
		if k.seen > digitsFirst && k.grain.decimals > 5 {
			continue
		}
		from := 0
		if k.seen > digitsFirst && int(r.decimals(c)) <= k.grain.decimals+1 {
			for from = len(x) - 1; from > 0 && !k.fine(x[from]); { // nothing and no value are not fine
				from--
			}
			from = max(from, 0)
		}
		for at := from; at < len(x); at++ {
			if x[at] == x[at] {
				k.add(x[at], r.said(at))
			}
		}
	}
}

func (w *digitsWitness) say(*hearing) []said {
	var list []said
	for _, c := range written {
		k := &w.columns[c]
		if k.coarse >= digitsCoarse && k.changed >= digitsChanged && k.grain.decimals >= 2 && k.grain.decimals <= 5 {
			list = append(list, said{finding.Note, fmt.Sprintf("the %s is written to %s at the start and in coarser digits in the last %d rows, from here on", c, plain(k.grain.size(), c.Dimension()), k.coarse),
				"if the instrument changed its range, nothing is wrong; else look at the unit of the rows before", k.since.line, k.since.offset})
		}
		if k.finer < digitsFiner {
			continue
		}
		list = append(list, said{finding.Note, fmt.Sprintf("the %s is written to %s at the start and in finer digits in %d rows, first here", c, plain(k.grain.size(), c.Dimension()), k.finer),
			"if the instrument changed its range, nothing is wrong; else look at the unit of the rows from there on", k.first.line, k.first.offset})
	}
	return list
}
