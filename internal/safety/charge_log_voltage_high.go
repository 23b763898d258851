package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// chargeLogVoltageHigh asks whether a charge went higher than the cells may have.
var chargeLogVoltageHigh = &rule{each: eachRun, judge: judgeChargeLogVoltageHigh, doc: finding.Doc{
	Name: "charge-log-voltage-high", Signal: finding.Danger,
	Title:   "A charge went too high",
	What:    "Holds the highest voltage that was measured on a charge against what the cells in series may have. A WARNING above the data sheets' tolerance, for lithium-ion a DANGER above the voltage at which protections stop a charge.",
	Why:     "The setting of a charger is a promise; the log is what the cells had. Cells that were overcharged are not to be trusted again by their looks.",
	Needs:   "packs of one chemistry and one number of cells in series, and a charge with voltages",
	Formula: "most = cells in series × (full charge of one cell + 0.05 V); DANGER above cells × 4.35 V, for iron phosphate 3.90 V",
	Source:  "as for charge-voltage-high: confirmed for the data sheets named there, 4.35 V from memory",
	Example: "  type: charge",
}}

func judgeChargeLogVoltageHigh(s *subject) []verdict {
	p, ok := s.alike()
	r := s.result()
	if s.run.Type.Value != journal.Charge || r == nil || !ok {
		return nil
	}
	_, high, ok := extremes(r, runlog.Voltage)
	if !ok {
		return nil
	}
	c, series, _ := cellsOf(p)
	return overcharge(s, c, series, quantity.Volts(high), verdict{at: s.run.EvidenceSpan(),
		text:   fmt.Sprintf("this charge reached %s", quantity.Brief(quantity.Volts(high))),
		remedy: "stop using this charger. Put the pack outdoors on something that does not burn, leave it for a day, and have its cells measured one by one before it is charged again."})
}
