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
	What:    "Holds the lowest temperature of a charge, at the pack where it was measured, else of the air, against the least at which the chemistry may be charged, or its own `sheet` where one is named. A WARNING for lithium-ion and sodium-ion, a CAUTION for other cells.",
	Why:     "Below 0 °C lithium plates out as metal instead of going into the electrode. It stays there, and may short the cell inside weeks later.",
	Needs:   "the temperature of a charge, measured or in its `conditions`",
	Source:  "The limit stands with each chemistry, with its source and status: 0 °C by data sheets Samsung INR18650-30Q and AA Portable 26650-3300 (confirmed), for lead-acid from memory. Plating: Petzl & Danzer, J. Power Sources 254 (2014) 80 (confirmed, abstract).",
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
	limit, source := strictest[quantity.Celsius](s, "charge-lowest-temperature", true)
	if !below(low, limit) {
		return nil
	}
	v := verdict{signal: finding.SignalWarning, at: s.run.EvidenceSpan(), gauge: least("temperature of "+of, low, limit, source),
		text:   fmt.Sprintf("this charge was made at %s (%s), and cells of %s are not charged below %s: lithium plates out in them and may short them later", quantity.Brief(low), of, c.Name, quantity.Brief(limit)),
		remedy: "let the pack come to room temperature before it is charged, and measure at the cells, not in the air. Watch this one: if it warms, swells or loses charge at rest, take it out of use."}
	if !c.Plates() {
		if v.signal = finding.Caution; burning(c.Family) {
			v.signal = finding.SignalWarning
		}
		v.text = fmt.Sprintf("this charge was made at %s (%s), and cells of %s are not charged below %s", quantity.Brief(low), of, c.Name, quantity.Brief(limit))
		v.remedy = "let it come to room temperature before it is charged, and measure at the cells, not in the air."
	}
	return said(v)
}
