package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// parallelJoiningVoltage asks whether packs were joined at unlike voltages.
var parallelJoiningVoltage = &rule{each: eachVersion, judge: judgeParallelJoiningVoltage, doc: finding.Doc{
	Name: "parallel-joining-voltage", Signal: finding.Caution,
	Title:   "Packs joined at unlike voltages",
	What:    "Compares the rest voltages at which packs were joined without diodes. More than 0.1 V apart is a CAUTION; what flows then is judged by another rule.",
	Why:     "At the moment of joining the fuller pack charges the emptier one through nothing but their resistances and the leads. It sparks, and it may be more than cells and fuses bear.",
	Needs:   "`joined-at` of each pack",
	Formula: "|U₁ − U₂| at most 0.1 V",
	Source:  "0.1 V: common practice, no source",
	Example: "  joined-at: 26.45 V",
}}

// joinWithin is how far apart the voltages of packs may be when they are joined.
const joinWithin quantity.Volts = 0.1

func judgeParallelJoiningVoltage(s *subject) []verdict {
	joined, diodes := s.several()
	if !joined || diodes {
		return nil
	}
	found := s.pairs(func(first, other *journal.Pack) []verdict {
		a, b := first.JoinedAt, other.JoinedAt
		if !a.Known() || !b.Known() {
			return nil
		}
		apart := max(a.Value-b.Value, b.Value-a.Value)
		if !above(apart, joinWithin) {
			return nil
		}
		return said(verdict{signal: finding.Caution, at: b.Span, gauge: most("difference at joining", apart, joinWithin, ""),
			text:    fmt.Sprintf("%s were joined at %s and at %s: the fuller one charges the other at once", s.both(first, other), a.Written, b.Written),
			remedy:  "charge both full one after the other, let them rest, and join them only within 0.1 V, eyes covered.",
			related: []finding.Related{{Span: a.Span, Text: "the other pack's voltage"}}})
	})
	if len(found) == 0 && !s.every(func(p *journal.Pack) bool { return p.JoinedAt.Known() }) {
		return cannotPacks(s, "what flowed when the packs were joined", "`joined-at` is not stated for every pack", "note the rest voltage of each pack before they are joined the next time.")
	}
	return found
}
