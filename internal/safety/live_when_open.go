package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// liveWhenOpen asks what is still fed when a cutout or an emergency stop is open.
var liveWhenOpen = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.LiveWhenOpen}, question: "what stays live when a cutout or a stop is open",
	signal: func(f *failing) finding.Signal {
		if f.kind() == circuit.EmergencyStop {
			return finding.SignalWarning
		}
		return finding.Caution
	},
	text: func(f *failing) string {
		if f.kind() == circuit.EmergencyStop {
			return fmt.Sprintf("with %s open, %s can still be fed: it does not stop the vehicle for certain", f.name(), f.others(""))
		}
		return fmt.Sprintf("with %s open, %s can still draw on the packs, and in time takes them below what they stand", f.name(), f.others(""))
	},
	remedy: func(f *failing) string {
		if f.kind() == circuit.EmergencyStop {
			return "do not rely on it until all current of the motors passes through it; check it with the wheels off the ground."
		}
		return "switch off by hand when the cutout has opened, and charge soon; then take those supplies from the far side of the cutout."
	},
}.judge, doc: finding.Doc{
	Name: "live-when-open", Signal: finding.SignalWarning,
	Title:   "Still fed with the cutout or the stop open",
	What:    "Opens each cutout and emergency stop in turn, with every other contact in every position, and looks for what a current can still go through: behind a stop motors and controllers, a WARNING; behind a cutout anything, a CAUTION.",
	Why:     "A stop that leaves the motor fed does not stop. What a cutout does not cut off empties the pack for good.",
	Needs:   "`wiring`",
	Source:  "Search of the circuit. That a stop cuts all motors and a cutout all loads: common practice, no source.",
	Example: "  parts: [{name: stop, kind: emergency-stop}]",
}}
