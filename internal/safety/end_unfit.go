package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// endUnfit asks whether each end of a lead is made for its terminal.
var endUnfit = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.EndFitsTerminal, circuit.WireFitsFerrule}, question: "whether each end of a lead is made for its terminal",
	signal: always(finding.Caution),
	text: func(f *failing) string {
		return fmt.Sprintf("the end of a lead at `%s` is not made for that terminal: %s", f.plainName(), f.Detail)
	},
	remedy: first("make the end up anew before it carries current, and pull at it by hand: it must not move."),
}.judge, doc: finding.Doc{
	Name: "end-unfit", Signal: finding.Caution,
	Title:   "A lead end that does not fit its terminal",
	What:    "Holds how each end of a lead is made up against the kind of terminal that it goes on, and its size against the ferrule that is stated, or looks for one.",
	Why:     "A loose strand shorts, a loose clamp heats, and solder under a screw creeps until it is loose.",
	Needs:   "`ends` of each lead",
	Source:  "Which end goes on which terminal: common practice, no source. Ferrules: DIN 46228-4 (second-hand).",
	Example: "  leads: [{from: \"pack:+\", to: \"main fuse:in\", ends: [ring M6, crimp]}]",
}}
