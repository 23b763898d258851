package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// parallelShare asks whether the pack of least resistance takes more of the load than it may give.
var parallelShare = &rule{each: eachPack, judge: judgeParallelShare, doc: finding.Doc{
	Name: "parallel-share", Signal: finding.Caution,
	Title:   "One pack carries more than its share",
	What:    "Shares the greatest steady current of the version's runs among the packs by their resistances, and holds each part against that pack's steady discharge.",
	Why:     "The packs' sum may be well within its rating while the stiffest pack is beyond its own.",
	Needs:   "`resistance` and `discharge` of every pack, and a run with currents",
	Formula: "Iₙ = I · (1/Rₙ) / Σ(1/R)",
	Range:   "packs at one charge; leads of like length",
	Source:  "Circuit law. The limit is the pack's own data sheet, as stated; for like leads: common practice, no source.",
	Example: "  packs: [{name: left, resistance: 34 mΩ, discharge: 28 A}]",
}}

func judgeParallelShare(s *subject) []verdict {
	joined, _ := s.several()
	run, amps := s.heaviest()
	rated, ok := s.rated()
	if !joined || run == nil || !ok || above(amps.Value, rated) { // above the sum discharge-rate speaks
		return nil
	}
	var siemens float64
	for i := range s.version.Packs {
		r := s.version.Packs[i].Resistance
		if !r.Known() {
			return cannotPacks(s, "how the packs share the load", "`resistance` is not stated for every pack", "state the pack's internal resistance, from its data sheet or from a run with a current step.")
		}
		siemens += 1 / float64(r.Value)
	}
	part := quantity.Amperes(float64(amps.Value) / float64(s.pack.Resistance.Value) / siemens)
	if !above(part, s.pack.Discharge.Value) {
		return nil
	}
	return said(verdict{signal: finding.Caution, at: s.pack.Resistance.Span, gauge: most("this pack's part of the current", part, s.pack.Discharge.Value, ""),
		related: []finding.Related{{Span: run.EvidenceSpan(), Text: "the run that drew this current"}},
		text:    fmt.Sprintf("of %s %s carries %s, as its resistance is the least, and it may give %s", amps, s.thePack(), three(quantity.Exact(part).Quantity()), s.pack.Discharge.Written),
		remedy:  "draw less, or give the packs leads of one length and see each pack's own current with a clamp meter."})
}
