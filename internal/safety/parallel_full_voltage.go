package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// parallelFullVoltage asks whether packs side by side are full at unlike voltages.
var parallelFullVoltage = &rule{each: eachVersion, judge: judgeParallelFullVoltage, doc: finding.Doc{
	Name: "parallel-full-voltage", Signal: finding.Caution,
	Title:   "Parallel packs with unlike full voltages",
	What:    "Compares the charge voltages of packs of one chemistry and one number of cells in series, by the cell.",
	Why:     "Whatever charges both charges the one less than full or the other more. Its board may end the charge of one pack alone, and join it again by itself at another voltage.",
	Needs:   "`full` of each pack, else the chemistry's",
	Formula: "|U₁ − U₂| / cells in series at most 0.05 V",
	Source:  "0.05 V: the tolerance of charge voltages, data sheet Samsung INR18650-30Q, 4.20 ± 0.05 V (confirmed); for other chemistries from memory",
	Example: "  full: 25.2 V",
}}

func judgeParallelFullVoltage(s *subject) []verdict {
	joined, diodes := s.several()
	if _, alike := s.alike(); !joined || diodes || !alike {
		return nil
	}
	return s.pairs(func(first, other *journal.Pack) []verdict {
		_, series, _ := cellsOf(first)
		a, b := first.FullVoltage().Value, other.FullVoltage().Value
		apart := max(a-b, b-a) / series
		if !above(apart, chargeTolerance) {
			return nil
		}
		at := other.Full.Span
		if !other.Full.Set {
			at = other.Span
		}
		return said(verdict{signal: finding.Caution, at: at, gauge: aCell(most("difference of the full voltages", apart, chargeTolerance, "")),
			text:   fmt.Sprintf("%s are full at %s and at %s: one charge cannot suit both", s.both(first, other), quantity.Brief(a), quantity.Brief(b)),
			remedy: "charge both to the lower of the two voltages, and state it for both."})
	})
}
