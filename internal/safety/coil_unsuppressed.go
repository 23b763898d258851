package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// coilUnsuppressed asks whether the kick of a coil goes anywhere.
var coilUnsuppressed = &rule{each: eachVersion, judge: judgeCoilUnsuppressed, doc: finding.Doc{
	Name: "coil-unsuppressed", Signal: finding.Caution,
	Title:   "A coil with nothing across it",
	What:    "Looks for relays and contactors of the wiring whose `suppression` is stated as `none`.",
	Why:     "A coil of 12 V that is switched off kicks with 1000 V and more: it burns the contact of the switch or stop before it, until that sticks, and upsets controllers.",
	Needs:   "`suppression` of the relay or contactor",
	Source:  "Kick of a 12 V coil, 1000 V to 1500 V: a maker's page on relay coils (second-hand)",
	Example: "  parts: [{name: main, kind: contactor, nominal: 24 V, coil: 60 Ω, suppression: diode-and-zener}]",
}}

func judgeCoilUnsuppressed(s *subject) []verdict {
	return s.ofCoils(journal.Unsuppressed, func(int, *circuit.Part) bool { return true }, func(name string) verdict {
		return verdict{signal: finding.Caution, numbers: name + ": suppression none",
			text:   fmt.Sprintf("nothing takes up the kick of the coil of `%s`: it burns the contact that switches it, until that sticks closed", name),
			remedy: "take the pack off, and put a diode with a zener diode in series, or a suppressor, across coil+ and coil-. Look at the contact before it for burns."}
	})
}

// ofCoils speaks of the first part with a coil of that suppression that pick chooses.
func (s *subject) ofCoils(of journal.Suppression, pick func(int, *circuit.Part) bool, say func(name string) verdict) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	for i := range w.Circuit.Parts {
		stated := &s.version.Wiring.Parts[i].Suppression
		if !stated.Set || stated.Value != of || !pick(i, &w.Circuit.Parts[i]) {
			continue
		}
		v := say(w.Circuit.Parts[i].Name)
		v.at = stated.Span
		return said(v)
	}
	return nil
}
