package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// parallelJoiningCurrent asks what flows between packs at the moment of joining.
var parallelJoiningCurrent = &rule{each: eachVersion, judge: judgeParallelJoiningCurrent, doc: finding.Doc{
	Name: "parallel-joining-current", Signal: finding.SignalWarning,
	Title:   "Equalising current on joining exceeds a pack's charge rating",
	What:    "From the rest voltages at joining and the packs' resistances, computes the current of the first moment and holds it against the charging rate that the emptier pack may take.",
	Why:     "It is a charge that nobody set. The leads' resistance makes it smaller, and a spark at the last contact is the least that it does.",
	Needs:   "`joined-at`, `resistance`, `capacity` and `chemistry` of each pack",
	Formula: "I = |U₁ − U₂| / (R₁ + R₂); most = greatest charging rate × capacity of the emptier pack, or its part of what the logs show where that is less",
	Units:   "V, Ω, A; rate in 1/h",
	Range:   "the first moment, leads left out: the worst that it can be",
	Source:  "Circuit law. The greatest charging rate stands with each chemistry, with source and status, as for charge-current-high; for 4.2 V cells second-hand.",
	Example: "  joined-at: 26.45 V",
}}

func judgeParallelJoiningCurrent(s *subject) []verdict {
	joined, diodes := s.several()
	if !joined || diodes {
		return nil
	}
	return s.pairs(func(first, other *journal.Pack) []verdict {
		fuller, emptier := first, other
		if fuller.JoinedAt.Value < emptier.JoinedAt.Value {
			fuller, emptier = other, first
		}
		c, _, ok := cellsOf(emptier)
		holds, stated := s.holds(emptier)
		if !ok || !fuller.JoinedAt.Known() || !emptier.JoinedAt.Known() || !stated {
			return nil // that the voltages lack is said by parallel-joining-voltage
		}
		apart := fuller.JoinedAt.Value - emptier.JoinedAt.Value
		if apart == 0 {
			return nil
		}
		rate, source := fact[quantity.Number](c, "charge-rate-limit")
		limit := quantity.Amperes(float64(rate) * float64(holds))
		known := quantity.Ohms(0) // what is stated of the resistance: with more, less flows
		for _, r := range [2]*journal.Pack{fuller, emptier} {
			if r.Resistance.Known() {
				known += r.Resistance.Value
			}
		}
		if !fuller.Resistance.Known() || !emptier.Resistance.Known() {
			if known > 0 && !above(quantity.Amperes(float64(apart)/float64(known)), limit) {
				return nil
			}
			return cannotPacks(s, "how much flowed when the packs were joined", "`resistance` is not stated for every pack", "state the pack's internal resistance, from its data sheet or from a run with a current step.")
		}
		amps := quantity.Amperes(float64(apart) / float64(known))
		if !above(amps, limit) {
			return nil
		}
		return said(verdict{signal: finding.SignalWarning, at: emptier.JoinedAt.Span, gauge: most("current at joining", amps, limit, source),
			text:   fmt.Sprintf("joined %s apart, %s flow from `%s` into `%s` at the first moment, and that pack may be charged with no more than %s", quantity.Brief(apart), three(quantity.Exact(amps).Quantity()), s.named(fuller), s.named(emptier), quantity.Brief(limit)),
			remedy: "do not join them so. Bring them to one voltage with a charger first, within 0.1 V at rest; fuse each pack at its positive terminal."})
	})
}
