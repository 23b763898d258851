package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// contactOverloaded asks whether each contact opens the direct current that it carries.
var contactOverloaded = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.ContactDirect}, question: "whether each contact opens the direct current that it carries", what: "direct current",
	signal: func(f *failing) finding.Signal {
		if f.kind() == circuit.EmergencyStop {
			return finding.SignalWarning
		}
		return beyond(1.5, finding.Caution, finding.SignalWarning)(f)
	},
	text: func(f *failing) string {
		return fmt.Sprintf("%s has to open %s%s, and is made to open %s of direct current: its arc may burn on, or weld it closed", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit))
	},
	remedy: first("open it only with the controller at rest. Then take a contact that is rated for that direct current and voltage."),
}.judge, doc: finding.Doc{
	Name: "contact-overloaded", Signal: finding.SignalWarning,
	Title:   "A contact breaks more current than it is rated for",
	What:    "Holds the greatest current through each contact against its rating for direct current; with a motor behind it, against that for motors. A CAUTION; of an emergency stop, and from half as much again on, a WARNING.",
	Why:     "Direct current has no zero at which an arc dies. A contact that welds cannot be opened when it matters.",
	Needs:   "`resistive` or `current` of each contact; with a motor behind it, `inductive`",
	Formula: "I <= I_dc",
	Source:  "The contact's own data sheet, as stated. That ratings for alternating current do not hold: data sheet of a basic switch, D4MC (confirmed), see contact-ratings. Half as much again: own choice, no source.",
	Example: "  parts: [{name: stop, kind: emergency-stop, resistive: 100 A}]",
}}
