package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// peakOpensProtection asks whether a run's peaks reach what opens the packs' protection.
var peakOpensProtection = &rule{each: eachRun, judge: judgePeakOpensProtection, doc: finding.Doc{
	Name: "peak-opens-protection", Signal: finding.Caution,
	Title:   "Peaks reach the current at which the protection opens",
	What:    "Holds the greatest current of a run against the current at which the packs' own protections open, all packs together.",
	Why:     "A protection that opens on a start or a slope takes drive and electric brake away at the worst moment.",
	Needs:   "`current` in the `protection` of every pack, and a run with currents",
	Formula: "most = sum of the protections' currents",
	Source:  "The limit is the protection's own, as stated; an even share between packs is assumed: common practice, no source.",
	Example: "  protection: {opens: 21.2 V, current: 40 A}",
}}

func judgePeakOpensProtection(s *subject) []verdict {
	r := s.result()
	if !draws(s.run) || r == nil || !r.PeakCurrent.Known() || len(s.version.Packs) == 0 {
		return nil
	}
	var limit quantity.Amperes
	for i := range s.version.Packs {
		opens := s.version.Packs[i].Protection.Current
		if !opens.Known() {
			return nil // a pack whose protection has no such point does not open
		}
		limit += opens.Value
	}
	if amps := peak(r); above(amps, limit) {
		return said(verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: most("greatest current", amps, limit, ""),
			text:   fmt.Sprintf("this run had a peak of %s, and the packs' own protection opens at %s: power and electric brake may go at once", quantity.Brief(amps), quantity.Brief(limit)),
			remedy: "lower the controller's current limit or its rise, so that peaks stay below the protection. See that the vehicle can be stopped without power."})
	}
	return nil
}
