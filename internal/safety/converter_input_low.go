package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// converterInputLow asks whether each converter gets what it works from at every point.
var converterInputLow = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.ConverterInput}, question: "whether each converter gets the voltage that it works from", what: "voltage at its input", least: true,
	signal: always(finding.Caution),
	text: func(f *failing) string {
		return fmt.Sprintf("%s gets %s%s, and works from %s on: what hangs on it goes out there", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit))
	},
	remedy: first("do not rely on its lamps or horn there. Then use a converter that works lower down, or feed it from nearer to the packs."),
}.judge, doc: finding.Doc{
	Name: "converter-input-low", Signal: finding.Caution,
	Title:   "A converter below its window",
	What:    "Solves the wiring at each operating point with the packs joined, and holds the voltage that arrives at each converter of the wiring against the bottom of its `window`.",
	Why:     "A start or a climb pulls the packs down for a moment. The lamps go out with every one, and a horn that is needed then is silent.",
	Needs:   "`window` and `gives` of the converter, its part in the wiring with its leads, and an operating point",
	Formula: "U_in >= U_window",
	Source:  "The converter's window as stated",
	Example: "  converters: [{name: for the lamps, window: 20 V to 60 V, gives: 12 V, current: 5 A, efficiency: 88 %, fuse: 5 A}]",
}}
