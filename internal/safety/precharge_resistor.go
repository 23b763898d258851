package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// prechargeResistor asks whether the resistor of a precharge burns if the contact never closes.
var prechargeResistor = &rule{each: eachVersion, judge: judgePrechargeResistor, doc: finding.Doc{
	Name: "precharge-resistor", Signal: finding.Caution,
	Title:   "A precharge resistor that burns if the contact stays open",
	What:    "Holds what the resistor turns into heat with the packs' greatest voltage across it against its `power`.",
	Why:     "If the contact never closes, or what is behind it is shorted, the resistor has the whole voltage for good. One that was chosen for the moment of filling glows.",
	Needs:   "`through` and `power` of `precharge`; `full` of the packs",
	Formula: "P = U² / R",
	Source:  "Ohm's law; that it stands a contact that stays open: common practice, no source",
	Example: "  controller: {kind: pwm, precharge: {fitted: yes, through: 100 Ω, power: 20 W, closes-at: 95 %}}",
}}

func judgePrechargeResistor(s *subject) []verdict {
	c := s.version.Controller
	if c == nil || c.Precharge == nil || !c.Precharge.Through.Known() || !c.Precharge.Power.Known() {
		return nil
	}
	p, volts := c.Precharge, s.highest()
	heat := quantity.Watts(float64(volts) * float64(volts) / float64(p.Through.Value))
	g := most("heat with the whole voltage across it", heat, p.Power.Value, "")
	if !exceeds(g) {
		return nil
	}
	return said(verdict{signal: finding.Caution, at: p.Power.Span, gauge: g,
		text:   fmt.Sprintf("with the contact stuck open the precharge resistor has %s across it for good, and turns %s into heat; it is made for %s", quantity.Brief(volts), g.Written, quantity.Brief(p.Power.Value)),
		remedy: "let go of the button as soon as the contact has closed, and mount it on metal away from what burns. Then use one of more power or more resistance, or one with a thermal fuse."})
}
