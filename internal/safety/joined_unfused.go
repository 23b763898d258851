package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// joinedUnfused asks whether a fuse stands between packs that are joined.
var joinedUnfused = &rule{each: eachVersion, judge: judgeJoinedUnfused, doc: finding.Doc{
	Name: "joined-unfused", Signal: finding.SignalWarning,
	Title:   "Packs joined without a fuse between",
	What:    "Looks in the wiring for packs whose positive terminals are joined by leads, blocks and closed contacts, with no fuse, breaker or diode between. A pack that states `fuse: none` has a rule of its own, `parallel-fuse`.",
	Why:     "If one pack fails short, the other feeds it with all that it can give. A main fuse behind the joint does not see that current.",
	Needs:   "`wiring` with two packs or more",
	Source:  "Means against reverse current for cells in parallel, diodes or fuses: ADR 2.2.9.1.7(d), for carriage alone (confirmed). One fuse for each string in use: common practice, no source.",
	Example: "  leads: [{from: \"left:+\", to: \"left fuse:in\"}, {from: \"right:+\", to: \"right fuse:in\"}]",
}}

func judgeJoinedUnfused(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	for i := range s.version.Packs {
		if s.version.Packs[i].Fuse.None {
			return nil // said of the pack already
		}
	}
	packs := partsOf(w.Circuit, circuit.Pack)
	for n, a := range packs {
		for _, b := range packs[n+1:] {
			one, other := w.Circuit.Parts[a].Name, w.Circuit.Parts[b].Name
			if !w.Circuit.Joined(circuit.Terminal{Part: one, Name: "+"}, circuit.Terminal{Part: other, Name: "+"}, unprotected) {
				continue
			}
			return said(verdict{signal: finding.SignalWarning, at: s.atPart(b), numbers: one + " and " + other + ": no fuse between",
				text:    fmt.Sprintf("`%s` and `%s` are joined with no fuse between: if one fails short, the other feeds it with all that it can give", one, other),
				remedy:  "take the packs apart until each has a fuse in the lead at its positive terminal.",
				related: []finding.Related{{Span: s.atPart(a), Text: "the other pack"}}})
		}
	}
	return nil
}

// unprotected accepts every part but fuses and breakers.
func unprotected(p *circuit.Part) bool { return p.Kind != circuit.Fuse && p.Kind != circuit.Breaker }
