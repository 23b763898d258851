package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// contactorBackwards asks whether the current enters a polarised contactor where it should.
var contactorBackwards = &rule{each: eachVersion, judge: judgeContactorBackwards, doc: finding.Doc{
	Name: "contactor-backwards", Signal: finding.SignalWarning,
	Title:   "A contactor wired against its magnets",
	What:    "Looks for contactors that are stated as `polarised`, and whether `out` is joined to the positive of a pack with the contactor open, and `in` is not. Above 48 V a WARNING, else a CAUTION.",
	Why:     "The magnets of such a contactor blow the arc out of the gap only for current that enters at `in`. The other way they draw it in: it burns on, and the contactor does not open.",
	Needs:   "`polarised` of the contactor",
	Source:  "Direction of current, above 48 V most of all: a contactor maker's application note (second-hand)",
	Example: "  parts: [{name: main, kind: contactor, current: 100 A, polarised: yes}]",
}}

const arcHolds quantity.Volts = 48

func judgeContactorBackwards(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	for _, i := range partsOf(w.Circuit, circuit.Contactor) {
		if !s.version.Wiring.Parts[i].Polarised.Value {
			continue
		}
		name := w.Circuit.Parts[i].Name
		if !s.liveAt(name, "out", "+") || s.liveAt(name, "in", "+") {
			continue
		}
		full := s.highest()
		v := verdict{signal: finding.Caution, at: s.version.Wiring.Parts[i].Polarised.Span, numbers: fmt.Sprintf("%s: current enters at out, %s", name, quantity.Brief(full)),
			text:   fmt.Sprintf("the current enters `%s` at out: its magnets then hold the arc in place, and it may not open", name),
			remedy: "take the pack off, and change the two leads over at its studs, so that the pack is at in. Look at its contacts before you rely on it."}
		if above(full, arcHolds) {
			v.signal = finding.SignalWarning
		}
		return said(v)
	}
	return nil
}

// liveAt tells whether a terminal of a part is joined to that end of a pack by whatever is not the part itself.
func (s *subject) liveAt(part, terminal, end string) bool {
	c := s.wired().Circuit
	itself := func(p *circuit.Part) bool { return p.Name != part }
	for _, k := range partsOf(c, circuit.Pack) {
		if c.Joined(circuit.Terminal{Part: c.Parts[k].Name, Name: end}, circuit.Terminal{Part: part, Name: terminal}, itself) {
			return true
		}
	}
	return false
}

// highest is the greatest voltage that a pack of the version has, full or while it is charged; 0 where none is known.
func (s *subject) highest() quantity.Volts {
	var most quantity.Volts
	for i := range s.version.Packs {
		if volts := s.version.ChargingVoltage(&s.version.Packs[i]); volts.Known() {
			most = max(most, volts.Value)
		}
	}
	return most
}
