package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// stallAboveCutout asks whether held motors draw more than the cutout stands.
// Where the wiring is stated, part-peak-overloaded and contact-overloaded say it.
var stallAboveCutout = &rule{each: eachVersion, judge: judgeStallAboveCutout, doc: finding.Doc{
	Name: "stall-above-cutout", Signal: finding.Caution,
	Title:   "Stall current exceeds the cutout's rating",
	What:    "Holds what held motors draw from the packs at the setting, with full packs, against the cutout's current. A NOTICE, and from a quarter above it on a CAUTION. Only where no wiring is stated.",
	Why:     "A contact that opens too great a direct current burns or welds, and then no longer ends a discharge.",
	Needs:   "`current` of the cutout; `drive` and the plate of the motors",
	Formula: "see `stall-time`",
	Source:  "The cutout's own data sheet, as stated in current. A quarter above: own choice, no source.",
	Example: "  cutout: {opens: 22.4 V, current: 60 A}",
}}

func judgeStallAboveCutout(s *subject) []verdict {
	d, c := s.driving(), s.version.Cutout
	if s.version.Wiring != nil || d == nil || d.Stall == nil || c == nil || !c.Current.Known() || !above(d.Stall.Battery.Value, c.Current.Value) {
		return nil
	}
	amps := d.Stall.Battery.Value
	return said(verdict{signal: grave(amps, c.Current.Value, 1.25, finding.PropertyNotice, finding.Caution), at: c.Current.Span, gauge: most("battery current of held motors", amps, c.Current.Value, ""),
		text:   fmt.Sprintf("held motors draw %s from the packs, and the cutout is made for %s: its contact may weld and then no longer open", quantity.Brief(amps), quantity.Brief(c.Current.Value)),
		remedy: "let go of the control at once when the wheels do not turn, and see that the cutout still opens. Then limit the current, or take a greater cutout."})
}
