package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// leadUnfitClamp asks whether each lead goes into its clamp.
var leadUnfitClamp = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.WireFitsClamp}, question: "whether each lead goes into its clamp",
	signal: always(finding.Caution),
	text: func(f *failing) string {
		return fmt.Sprintf("a lead of %s goes into `%s`, and %s: it comes loose and heats, or strands are cut off to make it fit", brief(f.Number), f.plainName(), f.Detail)
	},
	remedy: first("go on from a terminal block with a lead that fits; cut off no strands."),
}.judge, doc: finding.Doc{
	Name: "lead-unfit-clamp", Signal: finding.Caution,
	Title:   "A lead too thick or too thin for its clamp",
	What:    "Holds the size of each lead against the sizes that its clamp takes.",
	Why:     "A clamp holds what it is made for. Anything else is loose or has lost strands, and becomes the hottest spot of the circuit.",
	Needs:   "`clamp` of each part with clamps, and the size of each lead",
	Source:  "The clamp's own data sheet, as stated in clamp; that it is to be kept: common practice, no source",
	Example: "  parts: [{name: feed, kind: terminal-block, clamp: 1.5 mm² to 10 mm²}]",
}}
