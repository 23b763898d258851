package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// parallelChemistry asks whether packs of unlike chemistry share their terminals.
var parallelChemistry = &rule{each: eachVersion, judge: judgeParallelChemistry, doc: finding.Doc{
	Name: "parallel-chemistry", Signal: finding.Danger,
	Title:   "Parallel packs of unlike chemistry",
	What:    "Compares the chemistries of packs that are joined without diodes. A DANGER where a lithium-ion pack is among them and the other cells are full at another voltage, else a CAUTION; cells of one family that are full at one voltage pass for alike.",
	Why:     "Packs side by side have one voltage. What is full for the one is overcharge or half empty for the other, and the fuller one charges the other with nothing to end it.",
	Needs:   "`chemistry` and `joined` of each pack",
	Source:  "Full voltages stand with each chemistry, with source and status. That unlike packs are not joined: common practice, no source.",
	Example: "  packs: [{name: left, chemistry: lfp, joined: parallel}, {name: right, chemistry: lfp, joined: parallel}]",
}}

func judgeParallelChemistry(s *subject) []verdict {
	joined, diodes := s.several()
	if !joined || diodes {
		return nil
	}
	return s.pairs(func(first, other *journal.Pack) []verdict {
		a, _, okA := cellsOf(first)
		b, _, okB := cellsOf(other)
		if !okA || !okB || a.Family == b.Family && a.Full() == b.Full() {
			return nil
		}
		v := verdict{signal: finding.Caution, at: other.Chemistry.Span, numbers: a.Name + " beside " + b.Name,
			related: []finding.Related{{Span: first.Chemistry.Span, Text: "the other pack's chemistry"}},
			text:    fmt.Sprintf("%s are of %s and of %s and share their terminals: the one is charged by the rule of the other", s.both(first, other), a.Name, b.Name),
			remedy:  "part them now, with the load off. Use one of them at a time, through a changeover switch."}
		if burning(a.Family) || burning(b.Family) {
			v.signal = finding.Danger
		}
		return said(v)
	})
}
