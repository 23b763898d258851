package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// chargeCold asks whether a pack was charged in the cold.
var chargeCold = &rule{each: eachRun, judge: judgeChargeCold, doc: finding.Doc{
	Name: "charge-cold", Signal: finding.SignalWarning,
	Title:   "A charge in the cold",
	What:    "Holds the lowest temperature of a charge, at the pack where it was measured, else of the air, against the least at which the chemistry may be charged. A WARNING for lithium-ion, a CAUTION for other cells.",
	Why:     "Below 0 °C lithium plates out as metal instead of going into the electrode. It stays there, and may short the cell inside weeks later.",
	Needs:   "the temperature of a charge, measured or in its `conditions`",
	Source:  "0 °C: data sheets as named with each chemistry (confirmed for lithium-ion and nickel, from memory for lead-acid). Plating: Petzl & Danzer, J. Power Sources 254 (2014) 80 (confirmed, abstract).",
	Example: "  conditions: {temperature: 12 °C}",
}}

func judgeChargeCold(s *subject) []verdict {
	p, ok := s.alike()
	if s.run.Type.Value != journal.Charge || !ok {
		return nil
	}
	low, _, of, known := s.warmth()
	if !known {
		return cannot(s.run.Note.KindSpan, "whether the charge was warm enough", "no temperature is stated or measured", "state `temperature` in the run's `conditions`.")
	}
	c, _, _ := cellsOf(p)
	limit, source := fact[quantity.Celsius](c, "charge-lowest-temperature")
	if !below(low, limit) {
		return nil
	}
	v := verdict{signal: finding.SignalWarning, at: s.run.EvidenceSpan(), gauge: least("temperature of "+of, low, limit, source),
		text:   fmt.Sprintf("this charge was made at %s (%s), and cells of %s are not charged below %s: lithium plates out in them and may short them later", quantity.Brief(low), of, c.Name, quantity.Brief(limit)),
		remedy: "let the pack come to room temperature before it is charged. Watch this one: if it warms, swells or loses charge at rest, take it out of use."}
	if c.Family != lithium {
		v.signal = finding.Caution
		v.text = fmt.Sprintf("this charge was made at %s (%s), and cells of %s are not charged below %s", quantity.Brief(low), of, c.Name, quantity.Brief(limit))
		v.remedy = "let the battery come to room temperature before it is charged."
	}
	return said(v)
}
