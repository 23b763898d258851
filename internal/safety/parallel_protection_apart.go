package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// parallelProtectionApart asks whether protections side by side open at unlike voltages.
var parallelProtectionApart = &rule{each: eachVersion, judge: judgeParallelProtectionApart, doc: finding.Doc{
	Name: "parallel-protection-apart", Signal: finding.Caution,
	Title:   "Parallel packs whose protections open at unlike voltages",
	What:    "Where no cutout ends the discharge for all, compares the voltages at which the packs' protections open, by the cell. More than 0.1 V apart is a CAUTION.",
	Why:     "The first to open leaves the whole load to the others, which are nearly empty themselves. When it closes again it is the fuller one, and charges them.",
	Needs:   "`opens` in the `protection` of each pack, where there is no `cutout`",
	Formula: "|U₁ − U₂| / cells in series at most 0.1 V",
	Source:  "0.1 V: own choice, no source",
	Example: "  cutout: {opens: 23.4 V}",
}}

// openWithin is how far apart protections may open, of one cell.
const openWithin quantity.Volts = 0.1

func judgeParallelProtectionApart(s *subject) []verdict {
	joined, _ := s.several()
	if _, alike := s.alike(); !joined || !alike || s.version.Cutout != nil {
		return nil
	}
	return s.pairs(func(first, other *journal.Pack) []verdict {
		a, b := first.Protection.Opens, other.Protection.Opens
		if !a.Known() || !b.Known() {
			return nil
		}
		_, series, _ := cellsOf(first)
		apart := max(a.Value-b.Value, b.Value-a.Value) / series
		if !above(apart, openWithin) {
			return nil
		}
		return said(verdict{signal: finding.Caution, at: b.Span, gauge: aCell(most("difference of the opening voltages", apart, openWithin, "")),
			text:   fmt.Sprintf("the protections of %s open at %s and at %s: the first to open leaves the whole load to the other", s.both(first, other), a.Written, b.Written),
			remedy: "let one cutout before the controller end the discharge for all packs, above both voltages."})
	})
}
