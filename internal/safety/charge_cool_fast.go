package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// chargeCoolFast asks whether a cool lithium-ion pack was charged at full rate.
var chargeCoolFast = &rule{each: eachRun, judge: judgeChargeCoolFast, doc: finding.Doc{
	Name: "charge-cool-fast", Signal: finding.Caution,
	Title:   "A fast charge of a cool pack",
	What:    "Holds the current of a charge of lithium-ion cells between 0 °C and 10 °C against the half of the greatest rate that is left there.",
	Why:     "Between 0 °C and 10 °C lithium still plates out if the charge is fast. Half the rate is what charging circuits allow there.",
	Needs:   "capacity of the packs, and current and temperature of a charge",
	Formula: "most = part for the temperature × greatest charging rate × capacity of all packs",
	Units:   "rate in 1/h; A = 1/h × Ah",
	Source:  "Windows after the guide of JEITA (2007, not read), as given in TI e2e thread 23319 (confirmed there)",
	Example: "  conditions: {temperature: 12 °C}",
}}

func judgeChargeCoolFast(s *subject) []verdict {
	p, ok := s.alike()
	r := s.result()
	if s.run.Type.Value != journal.Charge || !ok || !isLithium(p) || r == nil {
		return nil
	}
	low, _, of, known := s.warmth()
	amps, capacity := steady(r), s.version.Capacity()
	if !known || !amps.Known() || !capacity.Known() {
		return nil // that the temperature lacks is said once, by charge-cold
	}
	c, _, _ := cellsOf(p)
	zone := c.ZoneAt(low)
	rate, _ := fact[quantity.Number](c, "charge-rate-limit")
	whole := quantity.Amperes(float64(rate) * float64(capacity.Value))
	limit := quantity.Amperes(zone.Rate) * whole
	if zone.Rate == 0 || !above(amps.Value, limit) || above(amps.Value, whole) { // outside of all windows, and above the whole rate, other rules speak
		return nil
	}
	return said(verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: most("charging current", amps.Value, limit, ""),
		text:   fmt.Sprintf("this charge ran at %s with %s at %s, where no more than %s is allowed", amps, of, quantity.Brief(low), quantity.Brief(limit)),
		remedy: "let the pack come to room temperature first, or charge it at half the rate."})
}
