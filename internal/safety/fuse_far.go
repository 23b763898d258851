package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// fuseFar asks whether each fuse is near enough to its pack.
var fuseFar = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.FusePlacement}, question: "whether each fuse is near enough to its pack", what: "length of lead before the fuse",
	signal: beyond(3, finding.Caution, finding.SignalWarning),
	text: func(f *failing) string {
		return fmt.Sprintf("%s lies %s along the lead from %s, and %s is the most: nothing protects the lead before it", f.name(), brief(f.Number), f.others(""), brief(f.Limit))
	},
	remedy: first("move the fuse nearer to the pack's terminal. Until then, see that the lead before it touches no metal and no edge."),
}.judge, doc: finding.Doc{
	Name: "fuse-far", Signal: finding.SignalWarning,
	Title:   "A fuse far from its pack",
	What:    "Holds the length of lead between a pack's positive terminal and its first fuse or breaker against what the law for boats allows, more if the lead is sheathed the whole way. A CAUTION, and from three times it on a WARNING.",
	Why:     "Chafed through before the fuse, a lead burns with all that the pack can give.",
	Needs:   "`length` of the leads between pack and fuse",
	Formula: "L <= 178 mm; sheathed the whole way L <= 1016 mm",
	Source:  "33 CFR 183.455(b) (confirmed). Three times: own choice, no source.",
	Example: "  leads: [{from: \"pack:+\", to: \"main fuse:in\", length: 120 mm}]",
}}
