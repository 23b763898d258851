package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// protectionLateOnCharge asks whether the pack's protection stops a charge before it is dangerous.
var protectionLateOnCharge = &rule{each: eachPack, judge: judgeProtectionLateOnCharge, doc: finding.Doc{
	Name: "protection-late-on-charge", Signal: finding.SignalWarning,
	Title:   "The pack's protection stops a charge too late",
	What:    "Holds the voltage at which the pack's own protection stops a charge against the most at which protection for such cells opens: 4.30 V a cell for lithium-ion cells of 4.2 V, 3.80 V for iron phosphate.",
	Why:     "It is what is left when the charger is the wrong one or fails. Above these voltages lithium plates out and the cell heats itself, and what is stated lets it.",
	Needs:   "chemistry and cells in series of the pack, and the voltage at which its protection stops a charge",
	Formula: "stops <= cells in series × 4.30 V, or 3.80 V",
	Source:  "4.30 V: data sheet of the DW01A protection circuit; 3.80 V: manual of the UE-12LI300BL battery and safety set points of the Ionic 12 V (confirmed, second-hand)",
	Example: "  protection: {charge-stops: 29.7 V}",
}}

// latestStops are the greatest voltages of one cell at which protection made for it opens, by the cells' chemistry.
var latestStops = map[string]quantity.Volts{"nmc": 4.30, "nca": 4.30, "lfp": 3.80}

func judgeProtectionLateOnCharge(s *subject) []verdict {
	c, series, ok := cellsOf(s.pack)
	stops := s.pack.Protection.ChargeStops
	if !ok || !stops.Known() {
		return nil
	}
	latest, known := latestStops[string(s.pack.Chemistry.Value)]
	if !known || !above(stops.Value, latest*series) {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: stops.Span, gauge: most("voltage at which the protection stops a charge", stops.Value, latest*series, ""),
		text:   fmt.Sprintf("the protection of %s stops a charge at %s, and protection for %s opens at %s at the latest: it would not save them from a wrong charger", s.thePack(), quantity.Brief(stops.Value), kindOf(c, series), quantity.Brief(latest*series)),
		remedy: "charge it with nothing but its own charger, and with somebody there; set or change the protection."})
}
