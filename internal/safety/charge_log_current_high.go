package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// chargeLogCurrentHigh asks whether a charge was faster than the packs may take.
var chargeLogCurrentHigh = &rule{each: eachRun, judge: judgeChargeLogCurrentHigh, doc: finding.Doc{
	Name: "charge-log-current-high", Signal: finding.SignalWarning,
	Title:   "A charge exceeded the packs' charge current",
	What:    "Holds the current that was measured for most of a charge against the greatest rate that data sheets of the chemistry allow, for all packs together. A CAUTION, and from twice the limit on a WARNING.",
	Why:     "Charged too fast, lithium plates out on the electrode and the cell warms; lead-acid gases.",
	Needs:   "packs of one chemistry with their capacity, and a charge with currents",
	Formula: "most = greatest charging rate × capacity of all packs",
	Units:   "rate in parts of the capacity in an hour, 1/h; A = 1/h × Ah",
	Source:  "The greatest rate stands with each chemistry, with its source and status, as for charge-current-high; for 4.2 V cells second-hand.",
	Example: "  type: charge",
}}

func judgeChargeLogCurrentHigh(s *subject) []verdict {
	p, ok := s.alike()
	r := s.result()
	if s.run.Type.Value != journal.Charge || r == nil || !ok {
		return nil
	}
	amps := steady(r)
	capacity, ok := s.capacity()
	if !ok || !amps.Known() {
		return nil
	}
	c, _, _ := cellsOf(p)
	return s.tooFast(c, amps.Value, capacity, verdict{at: s.run.EvidenceSpan(),
		text:   fmt.Sprintf("this charge ran at %s", amps),
		remedy: "charge slower the next time, and feel the pack: one that is more than hand-warm is taken off the charger."})
}
