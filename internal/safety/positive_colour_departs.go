package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// positiveColourDeparts asks whether colours tell positive from negative.
var positiveColourDeparts = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.PositiveColour}, question: "whether colours tell positive from negative",
	signal: always(finding.PropertyNotice),
	text: func(f *failing) string {
		return fmt.Sprintf("the colour of %s misleads: %s", f.name(), f.Detail)
	},
	remedy: first("put a sleeve of the right colour over both of its ends; change the lead when it is next out."),
}.judge, doc: finding.Doc{
	Name: "positive-colour-departs", Signal: finding.PropertyNotice,
	Title:   "A lead's colour contradicts its polarity",
	What:    "Looks for a lead on the positive side that departs from the colour of the others there, and for that colour on the negative side.",
	Why:     "The next person who opens the box goes by the colours.",
	Needs:   "`colour` of the leads",
	Source:  "One colour for positive: common practice, no source",
	Example: "  leads: [{from: \"pack:+\", to: \"main fuse:in\", colour: red}]",
}}
