package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// regenerationFull asks what braking does with a full pack.
var regenerationFull = &rule{each: eachVersion, judge: judgeRegenerationFull, doc: finding.Doc{
	Name: "regeneration-full", Signal: finding.SignalWarning,
	Title:   "Electric braking into a full pack",
	What:    "Where the controller `regenerates`, holds the voltage that it `holds-at` against the least at which a pack's protection stops a charge: above it a WARNING. Not stated, a CAUTION.",
	Why:     "Just after a charge a pack takes nothing back. Either the controller brakes less, or the protection opens and the brake is gone at the top of the hill, or the cells are overcharged.",
	Needs:   "`regenerates` and `holds-at` of the controller; `charge-stops` of each pack's `protection`",
	Source:  "That braking fades at the set voltage, and overcharges without it: a controller maker's manual (second-hand)",
	Example: "  controller: {kind: pwm, regenerates: yes, holds-at: 28.8 V}",
}}

func judgeRegenerationFull(s *subject) []verdict {
	c := s.version.Controller
	if c == nil || !c.Regenerates.Value {
		return nil
	}
	const first = "go down the first hill after a charge on the mechanical brake alone. "
	if !c.HoldsAt.Known() {
		return said(verdict{signal: finding.Caution, at: c.Regenerates.Span, numbers: "regenerates: yes, holds-at: not stated",
			text:   "it brakes into the packs, and nothing states at which voltage it holds off: with a full pack the brake goes, or the cells are overcharged",
			remedy: first + "Then set the controller to hold the packs below the end of charge, and state it as `holds-at`."})
	}
	for i := range s.version.Packs {
		stops := s.version.Packs[i].Protection.ChargeStops
		if !stops.Known() || !above(c.HoldsAt.Value, stops.Value) {
			continue
		}
		return said(verdict{signal: finding.SignalWarning, at: c.HoldsAt.Span, gauge: most("voltage held while braking", c.HoldsAt.Value, stops.Value, ""),
			text:   fmt.Sprintf("it brakes into the packs up to %s, and their protection opens at %s: the brake is gone in the middle of the hill", quantity.Brief(c.HoldsAt.Value), quantity.Brief(stops.Value)),
			remedy: first + "Then set the controller lower, and never rely on electric braking alone."})
	}
	return nil
}
