package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// resistorOverloaded asks whether each resistor stands the heat in it.
var resistorOverloaded = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.ResistorHeat}, question: "whether each resistor stands the heat in it", what: "heat",
	signal: beyond(2, finding.Caution, finding.SignalWarning),
	text: func(f *failing) string {
		return fmt.Sprintf("%s turns %s into heat%s, and is made for %s: it gets hot enough to burn what touches it", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit))
	},
	remedy: first("switch it off. Take a resistor for more power, with air around it."),
}.judge, doc: finding.Doc{
	Name: "resistor-overloaded", Signal: finding.SignalWarning,
	Title:   "A resistor dissipates more than its rating",
	What:    "Holds the heat in each resistor at the points that last against the power that it is made for. A CAUTION, and from twice that on a WARNING. A resistor that states none is asked for it above a quarter of a watt.",
	Why:     "At its full power a resistor is some 200 °C hot; above it, it chars its board and its leads.",
	Needs:   "`power` of each resistor, and an operating point that lasts",
	Formula: "I^2 * R <= P_rated",
	Source:  "The part's own data sheet, as stated in power. That twice is a WARNING, and a quarter of a watt: our own choice, no source.",
	Example: "  parts: [{name: precharge, kind: resistor, resistance: 100 Ω, power: 10 W}]",
}}
