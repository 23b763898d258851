package safety

import (
	"fmt"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// chargeCurrentHigh asks whether the charger gives more than the packs may take.
var chargeCurrentHigh = &rule{each: eachVersion, judge: judgeChargeCurrentHigh, doc: finding.Doc{
	Name: "charge-current-high", Signal: finding.SignalWarning,
	Title:   "The charger is too strong for the packs",
	What:    "Holds the charger's current against the greatest rate that data sheets of the chemistry allow, for all packs together. A CAUTION, and from twice the limit on a WARNING.",
	Why:     "Charged too fast, lithium plates out on the electrode and the cell warms; lead-acid gases.",
	Needs:   "`current` of the charger; chemistry and capacity of the packs, all of one chemistry",
	Formula: "most = greatest charging rate × capacity of all packs",
	Units:   "rate in parts of the capacity in an hour, 1/h; A = 1/h × Ah",
	Source:  "The greatest rate stands with each chemistry, with its source and status: data sheet AA Portable 26650-3300 for iron phosphate, Panasonic HHR70AAAJ for nickel, instructions Remco AGM (confirmed), for 4.2 V cells a seller's page (second-hand).",
	Example: "  charger: {current: 6 A}",
}}

func judgeChargeCurrentHigh(s *subject) []verdict {
	p, ok := s.alike()
	if !ok {
		return nil
	}
	g := s.version.Charger
	if g == nil || !g.Current.Known() {
		return cannotCharger(s, "whether the charging current suits the packs", "current")
	}
	capacity, ok := s.capacity()
	if !ok {
		return nil
	}
	c, _, _ := cellsOf(p)
	return s.tooFast(c, g.Current.Value, capacity, verdict{at: g.Current.Span,
		text:   "the charger gives " + g.Current.Written,
		remedy: "set it lower or take a weaker one; a slower charge also wears the cells less. Where the cells' own sheet allows more, name it in `sheet` with its `charge` windows."})
}

// tooFast finishes the verdict on a charging current; nil where it is none too great.
func (s *subject) tooFast(c *battery.Chemistry, amps quantity.Amperes, capacity quantity.AmpereHours, v verdict) []verdict {
	limit, source := s.chargingCurrent(greatestRate)
	if !above(amps, limit) {
		return nil
	}
	v.signal = finding.Caution
	if !below(amps, 2*limit) {
		v.signal = finding.SignalWarning
	}
	v.gauge = most("charging current", amps, limit, source)
	v.text += fmt.Sprintf(", and packs of %s with %s together may take no more than %s", c.Name, quantity.Brief(capacity), quantity.Brief(limit))
	return said(v)
}

// cannotCharger says that a key of the charger is wanted.
func cannotCharger(s *subject, question, key string) []verdict {
	if g := s.version.Charger; g != nil {
		remedy := "state it; `voltwright explain charger." + key + "` says how."
		if key == "current" || key == "chemistry" {
			remedy = "state it as the charger's label has it."
		}
		return cannot(g.Span, question, "`"+key+"` is not stated in `charger`", remedy)
	}
	return cannot(s.version.Note.KindSpan, question, "no `charger` is stated", "state `charger` with its chemistry, voltage, current and place.")
}
