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
	Title: "The charge voltage is set too high",
	What: "Holds the pack's charge voltage `full`, what its own `sheet` allows and the charger's voltage against what the cells in series may have. A higher `full` than is typical holds only with its `sheet` named. " +
		"A WARNING, and a DANGER above the voltage at which protections stop a charge, whatever a sheet says. Lead-acid, at 25 °C: a CAUTION; open lead-acid may be boosted on purpose. Nickel is ended by time, temperature or a falling voltage, so no voltage is held against it.",
	Why:     "An overcharged lithium-ion cell heats itself and may burn, with nobody near it. Lead-acid gases and dries out.",
	Needs:   "chemistry and cells in series of the pack, and its `full` or the charger's `voltage`",
	Formula: "most = cells in series × full charge of one cell; for a charger of lithium-ion or sodium-ion 0.05 V a cell more; DANGER above cells × 4.30 V, for iron phosphate 3.80 V",
	Source: "0.05 V: data sheet Samsung INR18650-30Q, 4.20 ± 0.05 V (confirmed), for other chemistries from memory. 4.30 V: data sheets of protection circuits, DW01A (H&M Semiconductor) and S-8261ABSMD (confirmed). " +
		"3.80 V: manual UPower UE-12Li300BL (confirmed). Lead-acid: instructions Remco AGM, Trojan user guide for gel and for open batteries (confirmed). For titanate and sodium-ion own choice, no source.",
	Example: "  full: 28.8 V",
}}

// chargeTolerance is how far above full charge a charger of lithium-ion cells may end; see the rule's source.
const chargeTolerance quantity.Volts = 0.05

// tolerance is how far above full charge a charger may end, of one cell.
func tolerance(c *battery.Chemistry) quantity.Volts {
	if burning(c.Family) {
		return chargeTolerance
	}
	return 0
}

// mostFull is the voltage of one cell to which cells of a chemistry may be charged,
// and where that is from: their own sheet's or what is typical, never above the
// voltage at which protections stop a charge; open lead-acid may be boosted.
func mostFull(c *battery.Chemistry) (quantity.Volts, string) {
	full, source := fact[quantity.Volts](c, "full-voltage")
	if boost, ok := c.Value("boost-voltage"); ok && quantity.Volts(boost) > full {
		return fact[quantity.Volts](c, "boost-voltage")
	}
	if danger, ok := c.Value("danger-voltage"); ok && quantity.Volts(danger) < full {
		return fact[quantity.Volts](c, "danger-voltage")
	}
	return full, source
}

func judgeChargeVoltageHigh(s *subject) []verdict {
	c, series, ok := cellsOf(s.pack)
	if !ok || c.Family == nickel {
		return nil
	}
	full, source := mostFull(c)
	if sheet := s.pack.Sheet; sheet != nil && sheet.Full.Known() {
		if v := overcharge(s, c, series, sheet.Full.Value, full*series, source, verdict{at: sheet.Full.Span,
			text:   fmt.Sprintf("the sheet that is named allows %s %s", s.thePack(), sheet.Full.Written),
			remedy: "do not charge to it. See whether the sheet is that of these cells and the voltage that of the whole pack; cells that are made for more are of another kind, and no limit here is theirs."}); v != nil {
			return v
		}
	}
	if set := s.pack.Full; set.Known() {
		remedy := "do not charge to it. State the voltage that the cells are made for; where their own data sheet allows more than is typical, name it in `sheet` with its `full`."
		if v := overcharge(s, c, series, set.Value, full*series, source, verdict{at: set.Span,
			text: fmt.Sprintf("`full` ends the charge of %s at %s", s.thePack(), set.Written), remedy: remedy}); v != nil {
			return v
		}
	}
	if g := s.version.Charger; g != nil && g.Voltage.Known() {
		limit := (full + tolerance(c)) * series
		if t := tolerance(c); t > 0 {
			source += "; tolerance " + quantity.Brief(t) + " a cell"
		}
		return overcharge(s, c, series, g.Voltage.Value, limit, source, verdict{at: g.Voltage.Span,
			text:   fmt.Sprintf("the charger ends the charge of %s at %s", s.thePack(), g.Voltage.Written),
			remedy: "do not charge with this setting. Use a charger that is made for these cells and their number in series, and read its voltage off before it is joined to the pack."})
	}
	return nil
}

// overcharge finishes the verdict on a charge voltage; nil where it is none too high.
func overcharge(s *subject, c *battery.Chemistry, series, volts, limit quantity.Volts, source string, v verdict) []verdict {
	if !above(volts, limit) {
		return nil
	}
	v.signal = finding.SignalWarning
	v.gauge = most("charge voltage", volts, limit, source)
	v.text += fmt.Sprintf(", and %s may have no more than %s", kindOf(c, series), quantity.Brief(limit))
	if danger, can := c.Value("danger-voltage"); can && above(volts, quantity.Volts(danger)*series) {
		v.signal = finding.Danger
		v.text += fmt.Sprintf("; above %s only the protection is left, and such cells may burn", quantity.Brief(quantity.Volts(danger)*series))
	}
	if !burning(c.Family) {
		v.signal = finding.Caution
		v.text += " at 25 °C: they gas and dry out"
		v.remedy = "set the charger lower, or take one that is made for these cells. Until then, charge with moving air and switch it off by hand."
	}
	return said(v)
}
