package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// controllerVoltageHigh asks whether full packs are above the controller's window.
var controllerVoltageHigh = &rule{each: eachVersion, judge: judgeControllerVoltageHigh, doc: finding.Doc{
	Name: "controller-voltage-high", Signal: finding.SignalWarning,
	Title:   "Full packs exceed the controller's rated voltage",
	What:    "Holds the full voltage of the packs against the upper end of the controller's window.",
	Why:     "Transistors above their voltage fail, mostly closed: the motors then get all that the packs have. Braking by the motors raises the voltage further.",
	Needs:   "`voltage` of the controller, full voltage of the packs",
	Formula: "U_full <= upper end of the window",
	Source:  "The controller's own data sheet, as stated in voltage. That controllers fail full on: common practice, no source.",
	Example: "  controller: {voltage: 18 V to 36 V}",
}}

func judgeControllerVoltageHigh(s *subject) []verdict {
	c, full := s.version.Controller, s.fullest()
	if c == nil || !c.Voltage.Set || !full.Known() || !above(full.Value, c.Voltage.To.Value) {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: c.Voltage.Span, gauge: most("full voltage", full.Value, c.Voltage.To.Value, ""),
		text:   fmt.Sprintf("full packs have %s, and the controller is made for %s at most: one that fails may leave the motors full on", quantity.Brief(full.Value), quantity.Brief(c.Voltage.To.Value)),
		remedy: "do not join full packs to it. Take fewer cells in series, or a controller whose window holds the full voltage with some to spare."})
}
