package safety

import (
	"fmt"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// chargeLogVoltageHigh asks whether a charge went higher than the cells may have.
var chargeLogVoltageHigh = &rule{each: eachRun, judge: judgeChargeLogVoltageHigh, doc: finding.Doc{
	Name: "charge-log-voltage-high", Signal: finding.Danger,
	Title: "A charge exceeded the charge voltage",
	What: "Holds the highest voltage that was measured on a charge against what the cells in series may have, by their own `sheet` where one is named. A WARNING, for lithium-ion and sodium-ion a DANGER above the voltage at which protections stop a charge. " +
		"Where a lower `full` is stated, a CAUTION above that. Lead-acid is charged lower the warmer it is: a CAUTION. Nickel is not ended by its voltage.",
	Why:     "The setting of a charger is a promise; the log is what the cells had. Cells that were overcharged are not to be trusted again by their looks.",
	Needs:   "packs of one chemistry and one number of cells in series, and a charge with voltages; for lead-acid its temperature, else 25 °C is taken",
	Formula: "most = cells in series × (full charge of one cell + 0.05 V), for lead-acid × (full charge − 5 mV/K × (t − 25 °C) + 0.01 V); DANGER above cells × 4.30 V, for iron phosphate 3.80 V",
	Source:  "As for charge-voltage-high, and each limit's own source stands beside it. −5 mV/K: Trojan user guide for gel (confirmed), a seller's for AGM (second-hand). 0.01 V for the meter: own choice, no source.",
	Example: "  type: charge",
}}

// meterSlack is what a meter may add to a cell of lead-acid.
const meterSlack quantity.Volts = 0.01

func judgeChargeLogVoltageHigh(s *subject) []verdict {
	p, ok := s.alike()
	r := s.result()
	if s.run.Type.Value != journal.Charge || r == nil || !ok {
		return nil
	}
	_, high, ok := extremes(r, runlog.Voltage)
	c, series, _ := cellsOf(p)
	if !ok || c.Family == nickel {
		return nil
	}
	volts := quantity.Volts(high)
	full, source := mostFull(c)
	for i := range s.version.Packs {
		if own, _, _ := cellsOf(&s.version.Packs[i]); own != nil {
			if f, q := mostFull(own); f < full {
				full, source, c = f, q, own
			}
		}
	}
	slack := meterSlack
	if t := tolerance(c); t > 0 {
		slack = t
		source += "; tolerance " + quantity.Brief(t) + " a cell"
	} else if _, warm, _, known := s.warmth(); known {
		full += c.FullAt(warm) - c.Full()
		source += fmt.Sprintf("; at %s", quantity.Brief(warm))
	}
	v := verdict{at: s.run.EvidenceSpan(),
		text:   fmt.Sprintf("this charge reached %s", quantity.Brief(volts)),
		remedy: "stop using this charger. Put the pack outdoors on something that does not burn, leave it for a day, and have its cells measured one by one before it is charged again."}
	if !burning(c.Family) {
		return overchargeLead(c, series, volts, (full+slack)*series, source, v)
	}
	if said := overcharge(s, c, series, volts, (full+slack)*series, source, v); said != nil {
		return said
	}
	return aboveOwnFull(s, series, volts, slack*series)
}

// overchargeLead is the verdict on a measured charge of cells that gas; nil where it was none too high.
func overchargeLead(c *battery.Chemistry, series, volts, limit quantity.Volts, source string, v verdict) []verdict {
	if !above(volts, limit) {
		return nil
	}
	v.signal, v.gauge = finding.Caution, most("charge voltage", volts, limit, source)
	v.text += fmt.Sprintf(", and %s may have no more than %s as warm as they were: they gas and dry out", kindOf(c, series), quantity.Brief(limit))
	v.remedy = "set the charger lower, or use one that corrects for the temperature. Charge with moving air, and look whether the cells want water if they can be opened."
	return said(v)
}

// aboveOwnFull is the verdict on a charge above the lower voltage that is stated for a pack.
func aboveOwnFull(s *subject, series, volts, slack quantity.Volts) []verdict {
	for i := range s.version.Packs {
		p := &s.version.Packs[i]
		if !p.Full.Known() || !above(volts, p.Full.Value+slack) {
			continue
		}
		return said(verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: most("charge voltage", volts, p.Full.Value+slack, "as stated in `full`, with the tolerance of a charger"),
			text:    fmt.Sprintf("this charge reached %s, and the pack is to be full at %s", quantity.Brief(volts), p.Full.Written),
			remedy:  "end the charge at the pack's own full voltage, or state the one that its cells and its board really allow.",
			related: []finding.Related{{Span: p.Full.Span, Text: "the pack's full voltage"}}})
	}
	return nil
}
