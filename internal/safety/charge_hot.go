package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// chargeHot asks whether a pack was charged hot.
var chargeHot = &rule{each: eachRun, judge: judgeChargeHot, doc: finding.Doc{
	Name: "charge-hot", Signal: finding.SignalWarning,
	Title:   "A charge in the heat",
	What:    "Holds the highest temperature of a charge, at the pack where it was measured, else of the air, against the greatest at which the chemistry may be charged, or its own `sheet` where one is named. A CAUTION, and from 60 °C on a WARNING.",
	Why:     "Heat ages cells fast, and a cell that warms while it charges may be one that has begun to fail.",
	Needs:   "the temperature of a charge, measured or in its `conditions`",
	Source:  "The limit stands with each chemistry, with its source and status: 45 °C by data sheets Samsung INR18650-35E and AA Portable 26650-3300 (confirmed), for lead-acid from memory. No charging above 60 °C: manual Alpha APL48-50LFP (confirmed).",
	Example: "  conditions: {temperature: 24 °C}",
}}

// noCharge is the temperature from which on nothing is charged.
const noCharge quantity.Celsius = 60

func judgeChargeHot(s *subject) []verdict {
	p, ok := s.alike()
	if s.run.Type.Value != journal.Charge || !ok {
		return nil
	}
	_, high, of, known := s.warmth()
	if !known {
		return cannot(s.run.Note.KindSpan, "whether the charge stayed cool enough", "no temperature is stated or measured", "state `temperature` in the run's `conditions`.")
	}
	c, _, _ := cellsOf(p)
	limit, source := strictest[quantity.Celsius](s, "charge-highest-temperature", false)
	if !above(high, limit) {
		return nil
	}
	v := verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: most("temperature of "+of, high, limit, source),
		text:   fmt.Sprintf("this charge reached %s (%s), and cells of %s are charged at no more than %s", quantity.Brief(high), of, c.Name, quantity.Brief(limit)),
		remedy: "let the pack cool before it is charged, out of the sun; charge it slower. Where the cells' own sheet allows more, name it in `sheet` with its `charge` windows."}
	if !below(high, noCharge) {
		v.signal = finding.SignalWarning
		v.remedy = "switch the charger off, see that nothing near the pack can burn, and stay away until it is cold. Find out why it was hot before it is charged again."
	}
	return said(v)
}
