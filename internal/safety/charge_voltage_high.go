package safety

import (
	"fmt"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// chargeVoltageHigh asks whether a charge is set to end above what the cells may have.
var chargeVoltageHigh = &rule{each: eachPack, judge: judgeChargeVoltageHigh, doc: finding.Doc{
	Name: "charge-voltage-high", Signal: finding.Danger,
	Title:   "The charge is set too high",
	What:    "Holds the pack's charge voltage `full` and the charger's voltage, whichever is higher, against what the cells in series may have. A WARNING above the data sheets' tolerance, for lithium-ion a DANGER above the voltage at which protections stop a charge.",
	Why:     "An overcharged lithium-ion cell heats itself and may burn, with nobody near it. Lead-acid gases and dries out.",
	Needs:   "chemistry and cells in series of the pack, and its `full` or the charger's `voltage`",
	Formula: "most = cells in series × (full charge of one cell + 0.05 V); DANGER above cells × 4.35 V, for iron phosphate 3.90 V",
	Source:  "0.05 V: data sheet Samsung ICR18650-26C, 4.20 ± 0.05 V (confirmed), for other chemistries from memory. 3.90 V: data sheet AA Portable 26650-3300 (confirmed). 4.35 V: from memory.",
	Example: "  full: 28.8 V",
}}

// chargeTolerance is how far above full charge a cell may be charged; see the rule's source.
const chargeTolerance quantity.Volts = 0.05

// burns is the voltage of one cell above which overcharge is a danger; false for cells that only gas.
func burns(c *battery.Chemistry) (quantity.Volts, bool) {
	switch {
	case c.Family != lithium:
		return 0, false
	case c.Name == "lfp":
		return 3.90, true
	default:
		return 4.35, true
	}
}

func judgeChargeVoltageHigh(s *subject) []verdict {
	c, series, ok := cellsOf(s.pack)
	set, name := s.pack.Full, "`full`"
	if g := s.version.Charger; g != nil && g.Voltage.Known() && (!set.Known() || g.Voltage.Value > set.Value) {
		set, name = g.Voltage, "the charger"
	}
	if !ok || !set.Known() {
		return nil
	}
	return overcharge(s, c, series, set.Value, verdict{at: set.Span,
		text:   fmt.Sprintf("%s ends the charge of %s at %s", name, s.thePack(), set.Written),
		remedy: "do not charge with this setting. Use a charger that is made for these cells and their number in series, and read its voltage off before it is joined to the pack."})
}

// overcharge finishes the verdict on a charge voltage; nil where it is none too high.
func overcharge(s *subject, c *battery.Chemistry, series, volts quantity.Volts, v verdict) []verdict {
	full, source := fact[quantity.Volts](c, "full-voltage")
	limit := (full + chargeTolerance) * series
	if !above(volts, limit) {
		return nil
	}
	v.signal = finding.SignalWarning
	v.gauge = most("charge voltage", volts, limit, source+"; tolerance "+quantity.Brief(chargeTolerance)+" a cell")
	v.text += fmt.Sprintf(", and %s may have no more than %s", kindOf(c, series), quantity.Brief(limit))
	if danger, can := burns(c); can && above(volts, danger*series) {
		v.signal = finding.Danger
		v.text += fmt.Sprintf("; above %s such cells may burn", quantity.Brief(danger*series))
	}
	if c.Family != lithium {
		v.signal = finding.Caution
		v.text += ": they gas and dry out"
		v.remedy = "set the charger lower, or take one that is made for these cells. Until then, charge with moving air and switch it off by hand."
	}
	return said(v)
}
