package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// leadThin asks whether each lead has the least copper that one is to have.
var leadThin = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.ConductorSize}, question: "whether each lead has the least copper that one is to have", what: "copper", least: true,
	signal: always(finding.PropertyNotice),
	text: func(f *failing) string {
		if f.excess() <= 1 {
			return fmt.Sprintf("%s is %s: it breaks where it is shaken", f.name(), f.Detail)
		}
		return fmt.Sprintf("%s has %s of copper, and %s is the least: it breaks where it is shaken, whatever it carries", f.name(), three(f.Number), three(f.Limit))
	},
	remedy: first("hold it down near both ends; take a thicker, stranded lead when it is next out."),
}.judge, doc: finding.Doc{
	Name: "lead-thin", Signal: finding.PropertyNotice,
	Title:   "A lead of too small a cross-section to last",
	What:    "Holds the size of each lead against 16 AWG, or 18 AWG in a sheath the whole way, and looks for single wires. Only where the ampacities are those of the same law, and not for leads that carry no more than 0.5 A at any point that was computed: a signal.",
	Why:     "A thin or a single wire breaks in a vehicle that shakes, long before it gets hot.",
	Needs:   "size and stranding of each lead",
	Formula: "A >= 1.31 mm²; in a sheath A >= 0.823 mm²",
	Source:  "33 CFR 183.425 (confirmed). 0.5 A: own choice, no source.",
	Example: "  wiring: {usual: {size: 1.5 mm², stranding: flexible}}",
}}
