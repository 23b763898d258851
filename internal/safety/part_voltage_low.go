package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// partVoltageLow asks whether each part stands the voltage of full packs. The
// controller's window is a rule of the drive.
var partVoltageLow = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.PartVolts}, question: "whether each part stands the voltage of full packs", what: "full voltage",
	skip: func(f *failing) bool {
		c := f.s.version.Controller
		return f.kind() == circuit.Controller && c != nil && c.Voltage.Set
	},
	signal: func(f *failing) finding.Signal {
		switch f.kind() {
		case circuit.EmergencyStop, circuit.Contactor, circuit.Relay, circuit.Switch, circuit.Breaker:
			return finding.SignalWarning
		}
		return finding.Caution
	},
	text: func(f *failing) string {
		return fmt.Sprintf("%s is made for %s of direct voltage, and the packs have %s when they are full", f.name(), brief(f.Limit), brief(f.Number))
	},
	remedy: first("do not open or close it under load with full packs. Then take a part for that direct voltage."),
}.judge, doc: finding.Doc{
	Name: "part-voltage-low", Signal: finding.SignalWarning,
	Title:   "A part rated below the packs' voltage",
	What:    "Holds the voltage at the end of charge against the direct voltage of each part. A CAUTION, of contacts a WARNING.",
	Why:     "A contact for less voltage keeps its arc when it opens; electronics for less voltage fail.",
	Needs:   "`volts` of each part, and the full voltage of the packs",
	Formula: "U_full <= U_rated",
	Source:  "The part's own data sheet, as stated in volts; that it is held against full packs: common practice, no source",
	Example: "  parts: [{name: stop, kind: emergency-stop, volts: 48 V}]",
}}
