package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

var powerDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-power-disagrees", Level: finding.Warning, Title: "A power column that is not volts times amperes",
	What: "Compares a column of power with the product of voltage and current, in all and row by row. More than a tenth apart in all, or more than one row in twenty apart by more than a tenth, is said; by more than a factor of 1.5 it is an error. Its likeliest reading is named: a unit, or columns that are not what their heads say.",
	Why:  "If one of the three is in another unit or stands in another column, charge or energy is wrong by that.", Source: "P = U·I; the figures are " + ownRule,
	Example: "  log: {file: bench.csv, columns: {current: \"I [mA]\"}}",
}

// powerWitness compares P with V·I.
type powerWitness struct {
	product, power total // of magnitudes, in the rows that hold all three
	rows, off      int
	top            float64
	grain          decimalGrain
	line           int
	offset         int64
}

func (w *powerWitness) row(s *Sample) {
	p, vi := s.Values[Power], s.Values[Voltage]*s.Values[Current]
	if math.IsNaN(p) || math.IsNaN(vi) {
		return
	}
	w.grain.add(p)
	w.top = max(w.top, math.Abs(p))
	w.rows++
	w.product.add(math.Abs(vi))
	w.power.add(math.Abs(p))
	size := max(math.Abs(p), math.Abs(vi))
	if math.Abs(math.Abs(p)-math.Abs(vi)) > 0.1*size+2*w.grain.size() && size > 0.05*w.top {
		w.off++
		if w.line == 0 {
			w.line, w.offset = s.Line, s.Offset
		}
	}
}

func (w *powerWitness) say(h *hearing) []said {
	if w.rows < 3 || w.power.value() == 0 || w.product.value() == 0 {
		return nil
	}
	ratio := w.product.value() / w.power.value()
	share := float64(w.off) / float64(w.rows)
	switch {
	case math.Abs(ratio-1) > 0.02 && (share > 0.5 || !near2(ratio, 1)):
		looks, remedy := either(h.likely(ratio, false, Current, Voltage), "look at which column is what: voltage, current and power must fit each other in every row")
		if back, ok := likelyUnit(h.dialect, Power, 1/ratio); ok {
			looks, remedy = looks+"; or "+back.looks, remedy+"; or "+back.write
		}
		return []said{{grave(ratio), fmt.Sprintf("volts times amperes come to %s the power column%s", apart(ratio), looks), remedy, w.line, w.offset}}
	case share > 0.05:
		level := finding.Warning
		if share > 0.5 {
			level = finding.Error
		}
		return []said{{level, fmt.Sprintf("volts times amperes differ from the power column by more than a tenth in %d of %d rows, first here", w.off, w.rows),
			"look at whether one of the three columns has slipped against the others, or holds values of other rows", w.line, w.offset}}
	case w.off > 0:
		h.powerHolds = true
		return []said{{finding.Note, fmt.Sprintf("volts times amperes differ from the power column by more than a tenth in %s, first here", plural(w.off, "row")),
			"look at the row: one of its three values is wrong, or they were not read together", w.line, w.offset}}
	}
	h.powerHolds = true
	return nil
}
