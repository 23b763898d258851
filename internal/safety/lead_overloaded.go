package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// leadOverloaded asks whether each lead stands the current that it carries for good.
var leadOverloaded = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.LeadAmpacity}, question: "whether each lead stands the current that it carries for good", what: "lasting current",
	signal: beyond(1.25, finding.Caution, finding.SignalWarning),
	text: func(f *failing) string {
		if f.Detail != "" {
			return fmt.Sprintf("%s carries %s%s, and %s, %s for good: it gets hotter than it is made for", f.name(), brief(f.Number), f.atPoint(), f.Detail, brief(f.Limit))
		}
		return fmt.Sprintf("%s carries %s%s, and its copper and insulation may carry %s for good: it gets hotter than its insulation stands", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit))
	},
	remedy: func(f *failing) string {
		const now = "draw less until it is changed, and stop at once if it smells or softens; then "
		if f.Detail != "" {
			return now + f.Remedy
		}
		return now + "take a thicker lead, or one with insulation for a higher temperature."
	},
}.judge, doc: finding.Doc{
	Name: "lead-overloaded", Signal: finding.SignalWarning,
	Title:   "A lead carries more than its ampacity",
	What:    "Holds each lead's current at the operating points that last against its ampacity, or against what the spade or ring on it carries where that is less. A CAUTION, and from a quarter above it on a WARNING.",
	Why:     "Above its ampacity the insulation ages, softens and in the end burns, and what lies beside it with it.",
	Needs:   "`wiring` with size and insulation of each lead, and an operating point that lasts",
	Formula: "I <= the least of ampacity and ends, see `ampacity` and `terminal-current`",
	Source:  "The table that the version chooses, 33 CFR 183.425 by default (confirmed), bundles by Lapp table T12-6 after VDE 0298-4 (confirmed), spades by TE catalogue 82004 (confirmed); the source of each limit stands beside it. A quarter above: own choice, no source.",
	Example: "  wiring: {usual: {size: 4 mm², insulation: 105 °C}}",
}}
