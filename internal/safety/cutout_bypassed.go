package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// cutoutBypassed asks whether a way leads around a cutout or an emergency stop.
var cutoutBypassed = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.BypassWhenOpen}, question: "whether a way leads around a cutout or a stop",
	signal: always(finding.SignalWarning),
	text: func(f *failing) string {
		if packs := f.others(""); packs != "" {
			return fmt.Sprintf("%s is joined to the far side of %s: opening it does not part the load from that pack", packs, f.name())
		}
		return fmt.Sprintf("with %s open, a way of leads and contacts leads around it: it opens nothing", f.name())
	},
	remedy: first("do not rely on it: draw the fuse to be sure. Then take the way around it out."),
}.judge, doc: finding.Doc{
	Name: "cutout-bypassed", Signal: finding.SignalWarning,
	Title:   "A way around the cutout or the stop",
	What:    "Opens each cutout and emergency stop in turn, with every other contact in every position, and looks for another way from its one side to the other, and for packs on its far side.",
	Why:     "What everybody takes for open is closed.",
	Needs:   "`wiring`",
	Source:  "Search of the circuit; that nothing leads around a cutout or a stop: common practice, no source",
	Example: "  parts: [{name: cutout, kind: cutout}]",
}}
