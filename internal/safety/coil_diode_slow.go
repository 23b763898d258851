package safety

import (
	"fmt"
	"slices"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// coilDiodeSlow asks whether a contact that breaks motors is held back by a plain diode.
var coilDiodeSlow = &rule{each: eachVersion, judge: judgeCoilDiodeSlow, doc: finding.Doc{
	Name: "coil-diode-slow", Signal: finding.Caution,
	Title:   "A plain diode on the coil of a contact that breaks motors",
	What:    "Looks for relays and contactors whose `suppression` is a diode alone, and which, open, leave a controller or a motor without supply.",
	Why:     "With a plain diode the coil's current dies slowly, and the contacts part slowly: the arc of a motor's current lasts, and they weld a little each time. A welded contact does not stop the vehicle.",
	Needs:   "`suppression` of the relay or contactor",
	Source:  "Release about three times as long, and tack-welding on motor loads: two relay makers' notes (second-hand)",
	Example: "  parts: [{name: main, kind: contactor, nominal: 24 V, coil: 60 Ω, suppression: diode-and-zener}]",
}}

func judgeCoilDiodeSlow(s *subject) []verdict {
	breaks := func(i int, _ *circuit.Part) bool {
		c := s.wired().Circuit
		open, _ := c.Live(i)
		for _, k := range slices.Concat(partsOf(c, circuit.Controller), partsOf(c, circuit.Motor)) {
			if !slices.Contains(open.Fed, k) {
				return true
			}
		}
		return false
	}
	return s.ofCoils(journal.PlainDiode, breaks, func(name string) verdict {
		return verdict{signal: finding.Caution, numbers: name + ": suppression diode",
			text:   fmt.Sprintf("a plain diode on the coil of `%s` makes it open slowly, and it breaks a motor's current: its contacts weld a little each time", name),
			remedy: "try at each start that it opens. Then put a zener diode in series with the diode, or a suppressor in its place."}
	})
}
