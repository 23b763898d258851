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
		return fmt.Sprintf("%s carries %s%s, and its copper and insulation may carry %s for good: it gets hotter than its insulation stands", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit))
	},
	remedy: first("draw less until it is changed, and stop at once if it smells or softens; then take a thicker lead, or one with insulation for a higher temperature."),
}.judge, doc: finding.Doc{
	Name: "lead-overloaded", Signal: finding.SignalWarning,
	Title:   "A lead carries more than it may",
	What:    "Holds each lead's current at the operating points that last against its ampacity. A CAUTION, and from a quarter above it on a WARNING.",
	Why:     "Above its ampacity the insulation ages, softens and in the end burns, and what lies beside it with it.",
	Needs:   "`wiring` with size and insulation of each lead, and an operating point that lasts",
	Formula: "I <= ampacity, see `ampacity`",
	Source:  "The table that the version chooses, 33 CFR 183.425 by default (confirmed); the source of each limit stands beside it. A quarter above: our own choice, no source.",
	Example: "  wiring: {usual: {size: 4 mm², insulation: 105 °C}}",
}}
