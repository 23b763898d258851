package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// suppressorClampsHigh asks whether each suppressor clamps below what it guards.
var suppressorClampsHigh = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.SuppressorClamps}, question: "whether each suppressor clamps below what it guards", what: "voltage let through",
	signal: always(finding.Caution),
	text: func(f *failing) string {
		return fmt.Sprintf("%s lets up to %s through, and %s across it stands %s: it may break down before the suppressor does anything", f.name(), brief(f.Number), f.others(""), brief(f.Limit))
	},
	remedy: first("try with the wheels off the ground that the part behind it still switches off. Then take a suppressor that clamps lower, and stands full packs for good."),
}.judge, doc: finding.Doc{
	Name: "suppressor-clamps-high", Signal: finding.Caution,
	Title:   "A suppressor that clamps too high",
	What:    "Holds `clamps` of each suppressor of the wiring against the least `volts` of the parts that it lies across.",
	Why:     "A transient that is let through punches a controller's switches or keeps an arc alive, and either may then stay on.",
	Needs:   "`clamps` of the suppressor, `volts` of what it lies across",
	Formula: "U_clamp <= U_rated",
	Source:  "The two parts' own sheets, as stated",
	Example: "  parts: [{name: guard, kind: suppressor, volts: 33 V, clamps: 53 V}]",
}}
