package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// loadVoltageHigh asks whether lamps, horns and coils stand the voltage of full packs.
var loadVoltageHigh = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.LoadVoltsHigh}, question: "whether each lamp, horn and coil stands the voltage of full packs", what: "voltage at it with full packs",
	signal: beyond(1.2, finding.Caution, finding.SignalWarning),
	text: func(f *failing) string {
		what := map[circuit.Kind]string{circuit.Lamp: "it burns out, and may burst or melt what holds it", circuit.Horn: "it overheats"}[f.kind()]
		name := f.name()
		if what == "" {
			name, what = "the coil of "+name, "it overheats and fails, and its contact then opens or stays shut by itself"
		}
		return fmt.Sprintf("%s gets %s with full packs, and is made for %s: %s", name, brief(f.Number), madeFor(f), what)
	},
	remedy: first("do not switch it on. Take one for the voltage of the packs, or feed it through a converter."),
}.judge, doc: finding.Doc{
	Name: "load-voltage-high", Signal: finding.SignalWarning,
	Title:   "A lamp, horn or coil above its rated voltage",
	What:    "Solves the wiring with full packs and every contact closed, and holds the voltage at each lamp, horn and coil against 1.25 times the one that it is made for. A CAUTION, and from 1.5 times on a WARNING. Where the full voltage is not known, the nominal one is enough to speak.",
	Why:     "Heat goes with the square of the voltage: at twice the voltage four times the power, in a lamp's glass, a horn's winding, a coil. A contactor whose coil has failed opens under load or welds.",
	Needs:   "`nominal` of each lamp, horn, and of each relay and contactor whose coil is wired",
	Formula: "U <= 1.25 * U_nominal",
	Source:  "1.25, as full packs of the right nominal voltage have up to 1.23 times it: common practice, no source. IEC 61810-1 has 1.1 for coils whose maker states no more (from memory).",
	Example: "  parts: [{name: headlamp, kind: lamp, nominal: 24 V, power: 10 W}]",
}}

// madeFor is the voltage that a load is made for.
func madeFor(f *failing) string {
	q := f.Limit
	q.Value = float64(f.part().Nominal)
	return brief(q)
}
