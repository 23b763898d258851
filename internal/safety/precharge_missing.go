package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// prechargeMissing asks whether a contact closes on empty capacitors.
var prechargeMissing = &rule{each: eachVersion, judge: judgePrechargeMissing, doc: finding.Doc{
	Name: "precharge-missing", Signal: finding.Caution,
	Title:   "A contact that closes on empty capacitors",
	What:    "Looks at `precharge` of the controller: none fitted, or a contact that closes before the capacitors have 95 % of the packs' voltage. It gives the current that the packs' resistance alone would let through.",
	Why:     "Empty capacitors are a short for a thousandth of a second. The inrush is the usual cause of contacts that weld, and a welded contact does not stop the vehicle.",
	Needs:   "`precharge` of the controller; `full` and `resistance` of the packs for the number",
	Formula: "I = (1 − closes-at) × U / R of the packs",
	Source:  "95 %: a contactor maker's application note (second-hand)",
	Example: "  controller: {kind: pwm, precharge: {fitted: yes, through: 100 Ω, power: 20 W, closes-at: 95 %}}",
}}

const closesAt quantity.Fraction = 0.95

func judgePrechargeMissing(s *subject) []verdict {
	c := s.version.Controller
	if c == nil || c.Precharge == nil {
		return nil
	}
	p := c.Precharge
	const first = "open and close the stop a few times without load, and measure that it parts, before you rely on it. "
	switch {
	case p.Fitted.Set && !p.Fitted.Value:
		return said(verdict{signal: finding.Caution, at: p.Fitted.Span, numbers: "precharge: none" + s.inrush(1),
			text:   "the contact before the controller closes on empty capacitors" + s.inrush(1) + ": such contacts weld, and a welded one does not stop the vehicle",
			remedy: first + "Then fit a resistor with a push button or a relay around the contact that fills them first."})
	case p.ClosesAt.Known() && below(p.ClosesAt.Value, closesAt):
		return said(verdict{signal: finding.Caution, at: p.ClosesAt.Span, gauge: least("voltage of the capacitors when the contact closes", p.ClosesAt.Value, closesAt, ""),
			text:   fmt.Sprintf("the contact closes when the capacitors have %s of the packs' voltage%s", quantity.Brief(p.ClosesAt.Value), s.inrush(1-p.ClosesAt.Value)),
			remedy: first + "Then let the resistor work longer: three times resistance × capacitance gives 95 %."})
	}
	return nil
}

// inrush says how much the packs would drive through a share of their voltage; "" where it is not known.
func (s *subject) inrush(share quantity.Fraction) string {
	siemens := 0.0
	for i := range s.version.Packs {
		if r := s.version.Packs[i].Resistance; r.Known() {
			siemens += 1 / float64(r.Value)
		}
	}
	amps := float64(share) * float64(s.highest()) * siemens
	if amps == 0 {
		return ""
	}
	return fmt.Sprintf(", up to %s", rough(quantity.Exact(quantity.Amperes(amps)).Quantity()))
}
