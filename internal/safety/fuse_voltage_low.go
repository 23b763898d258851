package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// fuseVoltageLow asks whether each fuse stands the voltage of full packs.
var fuseVoltageLow = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.FuseVolts}, question: "whether each fuse stands the voltage of full packs", what: "full voltage",
	signal: always(finding.SignalWarning),
	text: func(f *failing) string {
		return fmt.Sprintf("%s is made for %s, and the packs have %s when they are full: its arc may not go out when it opens", f.name(), brief(f.Limit), brief(f.Number))
	},
	remedy: first("take a fuse whose voltage for direct current is at least that of full packs. One for the mains says nothing of direct current."),
}.judge, doc: finding.Doc{
	Name: "fuse-voltage-low", Signal: finding.SignalWarning,
	Title:   "A fuse rated below the packs' voltage",
	What:    "Holds the voltage at the end of charge against the direct voltage of each fuse and breaker.",
	Why:     "Once the wire in a fuse has melted, the gap has to stand the full voltage. One that is too short keeps its arc.",
	Needs:   "`volts` of each fuse, or its `fuse-kind`; full voltage of the packs",
	Formula: "U_full <= U_fuse",
	Source:  "33 CFR 183.455(d), its end from memory",
	Example: "  parts: [{name: main fuse, kind: fuse, volts: 58 V}]",
}}
