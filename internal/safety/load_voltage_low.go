package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// loadVoltageLow asks whether lamps, horns and coils get what they need.
var loadVoltageLow = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.LoadVoltsLow}, question: "whether each lamp, horn and coil gets the voltage that it needs", what: "voltage at it", least: true,
	signal: func(f *failing) finding.Signal {
		if f.kind() == circuit.Lamp {
			return finding.PropertyNotice
		}
		return finding.Caution
	},
	text: func(f *failing) string {
		switch f.kind() {
		case circuit.Lamp:
			return fmt.Sprintf("%s gets %s, and is made for %s: it gives a fraction of its light", f.name(), brief(f.Number), madeFor(f))
		case circuit.Horn:
			return fmt.Sprintf("%s gets %s, and is made for %s: it may stay silent when it is needed", f.name(), brief(f.Number), madeFor(f))
		}
		return fmt.Sprintf("the coil of %s gets %s, and is made for %s: below %s it need not pull, and a contact that hovers burns", f.name(), brief(f.Number), madeFor(f), brief(f.Limit))
	},
	remedy: first("do not rely on it. Take one for the voltage of the packs."),
}.judge, doc: finding.Doc{
	Name: "load-voltage-low", Signal: finding.Caution,
	Title:   "A lamp, horn or coil far below its rated voltage",
	What:    "Solves the wiring with the packs at their nominal voltage and every contact closed, and holds the voltage at each lamp, horn and coil against 0.8 times the one that it is made for. A CAUTION, of a lamp a NOTICE.",
	Why:     "A coil that does not pull fully leaves its contact hovering, where it arcs; a horn that stays silent warns nobody.",
	Needs:   "`nominal` of each lamp, horn, and of each relay and contactor whose coil is wired",
	Formula: "U >= 0.8 * U_nominal",
	Source:  "Coils: IEC 61810-1, operative range of class 1 (from memory). Lamps and horns: common practice, no source.",
	Example: "  parts: [{name: main contactor, kind: contactor, nominal: 24 V, coil: 60 Ω}]",
}}
