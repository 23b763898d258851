package safety

import (
	"fmt"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// chargeCoolFast asks whether a cool pack was charged faster than it may be there.
var chargeCoolFast = &rule{each: eachRun, judge: judgeChargeCoolFast, doc: finding.Doc{
	Name: "charge-cool-fast", Signal: finding.Caution,
	Title:   "A fast charge of a cool pack",
	What:    "Holds the current of a charge against the rate that is left for the temperature, at the pack where it was measured, else of the air: for lithium-ion a tenth of the capacity an hour to 5 °C and a fifth to 15 °C, unless its own `sheet` says otherwise.",
	Why:     "Between 0 °C and 15 °C lithium still plates out if the charge is fast, and what has plated out stays.",
	Needs:   "capacity of the packs, and current and temperature of a charge",
	Formula: "most = rate for the temperature × capacity, over all packs",
	Units:   "rate in 1/h; A = 1/h × Ah",
	Source:  "The rates stand with each chemistry, with their source and status: for iron phosphate manual Alpha APL48-50LFP and data sheet Sunland IFR10440 (confirmed), for 4.2 V cells a seller's page (second-hand)",
	Example: "  conditions: {temperature: 12 °C}",
}}

func judgeChargeCoolFast(s *subject) []verdict {
	_, ok := s.alike()
	r := s.result()
	if s.run.Type.Value != journal.Charge || !ok || r == nil {
		return nil
	}
	low, _, of, known := s.warmth()
	amps, capacity := steady(r), s.version.Capacity()
	if !known || !amps.Known() || !capacity.Known() {
		return nil // that the temperature lacks is said once, by charge-cold
	}
	limit, source := s.chargingCurrent(func(c *battery.Chemistry) (float64, battery.Quoted) { return c.ChargeRate(low) })
	whole, _ := s.chargingCurrent(greatestRate)
	if limit == 0 || !above(amps.Value, limit) || above(amps.Value, whole) { // outside of all windows, and above the whole rate, other rules speak
		return nil
	}
	return said(verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: most("charging current", amps.Value, limit, source),
		text:   fmt.Sprintf("this charge ran at %s with %s at %s, where no more than %s is allowed: lithium may plate out in the cells", amps, of, quantity.Brief(low), quantity.Brief(limit)),
		remedy: fmt.Sprintf("let the pack come to 15 °C or more at its cells first, or charge it at %s or less. Where the cells' own sheet allows more, name it in `sheet` with its `charge` windows.", quantity.Brief(limit))})
}

// chargingCurrent is the current at which the version's packs together may be charged,
// each by a rate of its cells, and the source of the first of them.
func (s *subject) chargingCurrent(rate func(*battery.Chemistry) (float64, battery.Quoted)) (quantity.Amperes, string) {
	var sum quantity.Amperes
	source := ""
	for i := range s.version.Packs {
		p := &s.version.Packs[i]
		c, _, ok := cellsOf(p)
		holds, stated := s.holds(p)
		if !ok || !stated {
			continue
		}
		x, q := rate(c)
		if x == 0 {
			return 0, ""
		}
		sum += quantity.Amperes(x * float64(holds))
		if source == "" {
			source = q.String()
		}
	}
	return sum, source
}

// greatestRate is the rate at which cells of a chemistry may be charged at best.
func greatestRate(c *battery.Chemistry) (float64, battery.Quoted) {
	f := c.Facts["charge-rate-limit"]
	return f.Value, f.Quoted
}
