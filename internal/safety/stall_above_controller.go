package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// stallAboveController asks whether held motors draw more than the controller
// stands. Where the wiring is stated, part-peak-overloaded says it.
var stallAboveController = &rule{each: eachVersion, judge: judgeStallAboveController, doc: finding.Doc{
	Name: "stall-above-controller", Signal: finding.SignalWarning,
	Title:   "Stall current exceeds the controller's rating",
	What:    "Holds the current of held motors at the setting, with full packs, against the controller's current. A CAUTION, and from a quarter above it on a WARNING. Only where no wiring is stated; there `part-peak-overloaded` says it.",
	Why:     "A blocked wheel is enough. Transistors that fail mostly fail closed: the motors then get all that the packs have.",
	Needs:   "`current` of the controller; `drive` and the plate of the motors",
	Formula: "see `stall-time`",
	Source:  "The controller's own data sheet, as stated in current. That controllers fail full on: common practice, no source. A quarter above: own choice, no source.",
	Example: "  controller: {current: 60 A, limit: 50 A}",
}}

func judgeStallAboveController(s *subject) []verdict {
	d, c := s.driving(), s.version.Controller
	if s.version.Wiring != nil || d == nil || d.Stall == nil || c == nil || !c.Current.Known() {
		return nil
	}
	amps := d.Stall.Motor.Value * quantity.Amperes(d.Motors)
	if !above(amps, c.Current.Value) {
		return nil
	}
	return said(verdict{signal: grave(amps, c.Current.Value, 1.25, finding.Caution, finding.SignalWarning), at: c.Current.Span, gauge: most("current of held motors", amps, c.Current.Value, ""),
		text:   fmt.Sprintf("held motors draw %s, and the controller stands %s: one that fails may leave the motors full on", quantity.Brief(amps), quantity.Brief(c.Current.Value)),
		remedy: "know where the stop is, and let go of the control at once when the wheels do not turn. Then set a limit to the current, or take a greater controller."})
}
