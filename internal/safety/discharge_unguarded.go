package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// dischargeUnguarded asks whether anything ends a discharge but the driver.
var dischargeUnguarded = &rule{each: eachPack, judge: judgeDischargeUnguarded, doc: finding.Doc{
	Name: "discharge-unguarded", Signal: finding.SignalWarning,
	Title: "Nothing ends the discharge",
	What: "Looks for a version without a cutout whose pack has no protection of its own, or a board that acts only inside the appliance that the pack came from. " +
		"A WARNING for lithium-ion, a NOTICE for other cells.",
	Why: "Many packs of tools and bicycles have a board that only tells its appliance when to stop; the switch is in the appliance. In a vehicle such a pack runs until its cells are at zero, " +
		"and a lithium-ion cell that was there may catch fire when it is charged again.",
	Needs:   "`protection` of each pack, where there is no `cutout`",
	Source:  "Over-discharge and the copper of the foil: Fear et al., J. Electrochem. Soc. 165 (2018) A1639 (confirmed, abstract). That boards may do nothing without their appliance: common practice, no source.",
	Example: "  packs: [{chemistry: nmc, series: 7, capacity: 9 Ah, protection: in-appliance-only}]\n  cutout: {opens: 23.4 V}",
}}

func judgeDischargeUnguarded(s *subject) []verdict {
	p := s.pack.Protection
	if s.version.Cutout != nil || !p.None && !p.Tied {
		return nil
	}
	v := verdict{signal: finding.SignalWarning, at: p.Span, numbers: "no cutout, no protection"}
	v.text = fmt.Sprintf("there is no cutout, and %s has no protection: nothing but the driver ends the discharge, and cells that go flat may burn when they are charged again", s.thePack())
	v.remedy = "fit a cutout between pack and controller. Until then, stop by a voltage that you read off, and do not charge a pack that was run flat."
	if p.Tied {
		v.numbers = "no cutout, board in its appliance only"
		v.text = fmt.Sprintf("there is no cutout, and the board of %s acts only inside the appliance that it came from: here it opens nothing, so the pack can be run until its cells are at zero, and such cells may burn when they are charged again", s.thePack())
	}
	if !burns(s.pack) {
		v.signal = finding.PropertyNotice
		v.text = fmt.Sprintf("there is no cutout, and nothing in %s ends the discharge: a battery that is run flat and left so does not come back", s.thePack())
		v.remedy = "fit a cutout, or stop by a voltage that you read off; charge it the same day."
	}
	return said(v)
}
