package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// cutoutBypassed asks whether a way leads round a cutout or an emergency stop.
var cutoutBypassed = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.BypassWhenOpen}, question: "whether a way leads round a cutout or a stop",
	signal: always(finding.SignalWarning),
	text: func(f *failing) string {
		switch around := f.others(""); {
		case f.Path == nil:
			return fmt.Sprintf("%s is joined to the `out` side of %s: with %[2]s open it still feeds whatever is on that side", around, f.name())
		case around == "":
			return fmt.Sprintf("a way leads round %s by leads alone: opening it cuts off nothing", f.name())
		default:
			return fmt.Sprintf("a way leads round %s through %s: while that conducts, opening %[1]s cuts off nothing", f.name(), around)
		}
	},
	remedy: func(f *failing) string {
		mend := "take out the way round it."
		if f.Path == nil {
			mend = "join all packs to one side of it and all loads to the other."
		}
		return "until it is mended, draw the fuse of every pack to be sure that the vehicle is off. Then " + mend
	},
}.judge, doc: finding.Doc{
	Name: "cutout-bypassed", Signal: finding.SignalWarning,
	Title:   "A way round the cutout or the stop",
	What:    "Opens each cutout and emergency stop in turn, with every other contact in every position, and looks for another way from its one side to the other, and for packs on both sides of it. A lamp or a coil across it is no such way.",
	Why:     "Somebody opens it in need, or trusts it while working, and the current still flows.",
	Needs:   "`wiring`",
	Source:  "Search of the circuit; that nothing leads round a cutout or a stop: common practice, no source",
	Example: "  parts: [{name: cutout, kind: cutout}]",
}}
