package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// partPeakOverloaded asks whether each part stands a start, a climb and a stall.
var partPeakOverloaded = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.PeakCurrent}, question: "whether each part stands a start, a climb and a stall", what: "greatest current",
	signal: func(f *failing) finding.Signal {
		if f.kind() == circuit.Controller {
			return beyond(1.25, finding.Caution, finding.SignalWarning)(f)
		}
		return beyond(1.25, finding.PropertyNotice, finding.Caution)(f)
	},
	text: func(f *failing) string {
		harm := "it may weld, open or burn"
		switch f.kind() {
		case circuit.Controller:
			harm = "one that fails may leave the motors full on"
		case circuit.Pack:
			harm = "its protection may open, and drive and electric brake go at once"
		}
		return fmt.Sprintf("%s sees %s%s, and stands %s: %s", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit), harm)
	},
	remedy: first("know where the stop is, and let go of the control at once when the wheels do not turn. Then limit the current, or take a part for a greater one."),
}.judge, doc: finding.Doc{
	Name: "part-peak-overloaded", Signal: finding.SignalWarning,
	Title:   "Peak current exceeds a part's rating",
	What:    "Holds the greatest current through each part at operating points that end against what its maker allows for a while, or for good where no other is stated. A NOTICE, from a quarter above it a CAUTION; of a controller one word graver.",
	Why:     "Contacts weld and transistors fail closed. A controller that fails so gives the motors all that the packs have.",
	Needs:   "`peak` or `current` of each part, and an operating point that ends",
	Formula: "I_brief <= I_peak",
	Source:  "The part's own data sheet, as stated in peak or current. That controllers fail full on: common practice, no source. A quarter above: own choice, no source.",
	Example: "  parts: [{name: controller, kind: speed-controller, peak: 90 A}]",
}}
