package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// parallelBackCharge asks whether anything keeps one pack from charging another.
var parallelBackCharge = &rule{each: eachPack, judge: judgeParallelBackCharge, doc: finding.Doc{
	Name: "parallel-back-charge", Signal: finding.Caution,
	Title:   "Nothing keeps one pack from charging another",
	What:    "Looks for a lithium-ion pack beside others that has neither a diode nor a protection of its own that stops a charge.",
	Why:     "Between packs charge flows whenever their voltages part: after a lone charge, after one cell has died, in the cold. Without a guard of its own a pack is charged by its neighbour with no end and in any weather.",
	Needs:   "`joined` and `protection` of each pack",
	Source:  "A diode stops the flow between packs and with it charging through the joint: circuit law. That packs are guarded one by one: common practice, no source.",
	Example: "  packs: [{name: left, protection: {opens: 21.2 V, charge-stops: 29.1 V}}]",
}}

func judgeParallelBackCharge(s *subject) []verdict {
	joined, _ := s.several()
	p := s.pack
	if !joined || !burns(p) || p.Joined.Value == journal.ThroughDiode || p.Protection.ChargeStops.Known() {
		return nil
	}
	at := p.Span
	if p.Protection.Set {
		at = p.Protection.Span
	}
	return said(verdict{signal: finding.Caution, at: at, numbers: "no diode, no end of charge",
		text:   fmt.Sprintf("nothing keeps the packs beside it from charging %s: it has no diode, and no voltage is stated at which its protection stops a charge", s.thePack()),
		remedy: "give each pack a protection that stops a charge, or a diode; until then join and part them only at one voltage, and charge them joined."})
}
