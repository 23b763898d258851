package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

var digitsDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-digits-change", Level: finding.Note, Title: "A column that is written in finer digits from a row on",
	What: "Takes from the first fifty values of a column the last digit in which it is written, and says where three later values or more have two digits beyond it.",
	Why:  "An instrument writes its digits alike. Where they change, it has changed its range, or a stretch of the column is in another unit.", Source: ownRule,
}

// digitsWitness follows the digits of the columns that an instrument writes.
type digitsWitness struct {
	deaf
	columns [channelCount]struct {
		grain decimalGrain
		seen  int
		finer int
		first said
	}
}

var written = []Channel{Voltage, Current, Temperature, Speed, Distance}

func newDigits() *digitsWitness {
	w := &digitsWitness{}
	for _, c := range written {
		w.columns[c].grain.finest = 9
	}
	return w
}

func (w *digitsWitness) row(s *Sample) {
	const first = 50
	for _, c := range written {
		x := s.Values[c]
		if math.IsNaN(x) || x == 0 {
			continue
		}
		k := &w.columns[c]
		if k.seen++; k.seen <= first {
			k.grain.add(x)
			continue
		}
		if k.grain.decimals > 5 {
			continue // the digits of a computation
		}
		scaled := x * math.Pow10(k.grain.decimals+1)
		if math.Abs(scaled-math.Round(scaled)) > 1e-3 {
			if k.finer == 0 {
				k.first = said{line: s.Line, offset: s.Offset}
			}
			k.finer++
		}
	}
}

func (w *digitsWitness) say(*hearing) []said {
	var list []said
	for _, c := range written {
		k := &w.columns[c]
		if k.finer < 3 {
			continue
		}
		list = append(list, said{finding.Note, fmt.Sprintf("the %s is written to %s at the start and in finer digits in %d rows, first here", c, plain(k.grain.size(), c.Dimension()), k.finer),
			"if the instrument changed its range, nothing is wrong; else look at the unit of the rows from there on", k.first.line, k.first.offset})
	}
	return list
}
