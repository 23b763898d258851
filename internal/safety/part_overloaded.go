package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// partOverloaded asks whether each part stands the current that it carries for good.
var partOverloaded = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.LastingCurrent}, question: "whether each part stands the current that it carries for good", what: "lasting current",
	signal: beyond(1.25, finding.Caution, finding.SignalWarning),
	text: func(f *failing) string {
		return fmt.Sprintf("%s carries %s%s, and is made for %s: it overheats where nobody looks", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit))
	},
	remedy: first("ask less of it first: a lower setting, a lighter load. Then take a part for a greater current."),
}.judge, doc: finding.Doc{
	Name: "part-overloaded", Signal: finding.SignalWarning,
	Title:   "A part carries more than its rated current",
	What:    "Holds the greatest current that lasts through each part of the wiring against what its maker allows. A CAUTION, and from a quarter above it on a WARNING.",
	Why:     "A contact, socket or controller that is too small is the hottest spot of the circuit.",
	Needs:   "`current` of each part, and an operating point that lasts",
	Formula: "I_lasting <= I_rated",
	Source:  "The part's own data sheet, as stated in current. A quarter above: own choice, no source.",
	Example: "  parts: [{name: switch, kind: switch, current: 50 A}]",
}}
