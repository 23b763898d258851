package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// throttleReturn asks what the controller reads of a throttle whose return wire is off, where nobody has said what it does.
var throttleReturn = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.ThrottleReturn}, question: "what is read of the throttle with its return wire off", what: "voltage read",
	skip:   func(f *failing) bool { t := f.s.version.Throttle; return t != nil && t.BrokenWire.Set },
	signal: always(finding.Caution),
	text: func(f *failing) string {
		return fmt.Sprintf("with the return wire of %s off, its controller reads %s, %s: unless it knows a broken wire, that is near full speed", f.name(), three(f.Number), f.Detail)
	},
	remedy: first("lift the wheels off the ground, have a hand on the stop, and pull one wire of the throttle after the other; then state what it did in `broken-wire`."),
}.judge, doc: finding.Doc{
	Name: "throttle-return", Signal: finding.Caution,
	Title:   "A throttle that reads open without its return",
	What:    "Works out what the controller reads of each throttle of the wiring at rest with its return wire off, from its track and `pull-down`. More than a tenth of the reference is a CAUTION. Where `broken-wire` says what was tried, that holds.",
	Why:     "The return is one of three thin wires that bend with every turn of the handle. Without it the wiper stands at the reference, as if the handle were wide open.",
	Needs:   "`reference` of the `throttle`, a part of the kind `throttle` with its three leads, `resistance` of its track where `pull-down` is stated",
	Formula: "U = U_ref * R_pull / (R_pull + R_track)",
	Source:  "Ohm's law. A tenth: our own choice, no source.",
	Example: "  throttle: {broken-wire: stops, rest-check: yes, reference: 5 V, pull-down: 4.7 kΩ}",
}}
