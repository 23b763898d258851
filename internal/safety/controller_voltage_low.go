package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// controllerVoltageLow asks whether the packs leave the controller's window before the discharge ends.
var controllerVoltageLow = &rule{each: eachVersion, judge: judgeControllerVoltageLow, doc: finding.Doc{
	Name: "controller-voltage-low", Signal: finding.PropertyNotice,
	Title:   "Undervoltage cut-off of the controller above the end of discharge",
	What:    "Holds the voltage at which cutout or protection opens against the lower end of the controller's window.",
	Why:     "Below its window a controller stops without warning, or starts and stops by turns, mostly on a hill.",
	Needs:   "`voltage` of the controller; `cutout`, or `opens` of the packs' protection",
	Formula: "opening voltage >= lower end of the window",
	Source:  "The controller's own data sheet, as stated in voltage; that the cutout is to speak first: common practice, no source",
	Example: "  controller: {voltage: 18 V to 36 V}\n  cutout: {opens: 22.4 V}",
}}

func judgeControllerVoltageLow(s *subject) []verdict {
	c := s.version.Controller
	if c == nil || !c.Voltage.Set || len(s.version.Packs) == 0 {
		return nil
	}
	opens, at, name := s.ending(&s.version.Packs[0])
	if !opens.Known() || !below(opens.Value, c.Voltage.From.Value) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: at, gauge: least("opening voltage", opens.Value, c.Voltage.From.Value, ""),
		text:    fmt.Sprintf("%s opens at %s, and the controller works from %s up: the controller stops first, without warning", name, quantity.Brief(opens.Value), quantity.Brief(c.Voltage.From.Value)),
		remedy:  "keep off hills when the charge is low; raise the opening voltage into the controller's window.",
		related: []finding.Related{{Span: c.Voltage.Span, Text: "the controller's window"}}})
}
