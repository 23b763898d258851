package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// chargerAbovePack asks whether the charger goes higher than the pack is meant to be charged.
var chargerAbovePack = &rule{each: eachPack, judge: judgeChargerAbovePack, doc: finding.Doc{
	Name: "charger-above-pack", Signal: finding.Caution,
	Title:   "The charger goes above the pack's own full voltage",
	What:    "Holds the charger's voltage against the `full` that is stated for the pack, where the cells themselves could bear it. More than 1 % above is a CAUTION.",
	Why:     "Somebody chose to charge the pack less than full, for its life or because its board stops a charge there; the charger does not know of it.",
	Needs:   "`voltage` of the charger and `full` of the pack",
	Formula: "most = full × 1.01",
	Source:  "1 %: the accuracy of a charger's end voltage, common practice, no source",
	Example: "  charger: {voltage: 28.7 V}",
}}

// chargerAccuracy is how far from its label a charger may end.
const chargerAccuracy = 0.01

func judgeChargerAbovePack(s *subject) []verdict {
	c, series, ok := cellsOf(s.pack)
	g := s.version.Charger
	full := s.pack.Full
	if !ok || c.Family == nickel || g == nil || !g.Voltage.Known() || !full.Known() {
		return nil
	}
	limit := full.Value * (1 + chargerAccuracy)
	cell, _ := mostFull(c)
	if !above(g.Voltage.Value, limit) || above(g.Voltage.Value, (cell+tolerance(c))*series) { // beyond that charge-voltage-high speaks
		return nil
	}
	return said(verdict{signal: finding.Caution, at: g.Voltage.Span, gauge: most("charger's voltage", g.Voltage.Value, limit, ""),
		text:    fmt.Sprintf("the charger ends at %s, and %s is to be full at %s", g.Voltage.Written, s.thePack(), full.Written),
		remedy:  "use a charger that ends at the pack's full voltage, or state the full voltage that the cells and the pack's board really allow.",
		related: []finding.Related{{Span: full.Span, Text: "the pack's full voltage"}}})
}
