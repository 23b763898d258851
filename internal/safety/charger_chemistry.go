package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// chargerChemistry asks whether the charger is made for the cells that it charges.
var chargerChemistry = &rule{each: eachPack, judge: judgeChargerChemistry, doc: finding.Doc{
	Name: "charger-chemistry", Signal: finding.SignalWarning,
	Title:   "The charger is made for other cells",
	What:    "Compares the chemistry that the charger is made for with that of each pack. Cells of one family that are full at one voltage pass for alike. A WARNING where a lithium-ion pack or charger is concerned, else a CAUTION.",
	Why:     "A charger ends by the rule of its own chemistry: a lead-acid charger has a float or a recovery stage that lithium-ion cells must never see, and an iron-phosphate charger ends at another voltage than others.",
	Needs:   "`chemistry` of the charger and of the pack",
	Source:  "Full voltages stand with each chemistry, with source and status. That stages of lead-acid chargers harm lithium-ion cells: from memory.",
	Example: "  charger: {chemistry: lfp, voltage: 25.2 V}",
}}

func judgeChargerChemistry(s *subject) []verdict {
	c, _, ok := cellsOf(s.pack)
	if !ok {
		return nil
	}
	g := s.version.Charger
	if g == nil || !g.Chemistry.Set {
		return cannotCharger(s, "whether the charger is made for these cells", "chemistry")
	}
	made := g.Chemistry.Value
	if string(made) == c.Name {
		return nil
	}
	other := *s.pack
	other.Chemistry = g.Chemistry
	if m, _, ok := cellsOf(&other); !ok || m.Family == c.Family && m.Full() == c.Full() {
		return nil
	}
	v := verdict{signal: finding.Caution, at: g.Chemistry.Span, numbers: fmt.Sprintf("charger for %s, pack of %s", made, c.Name),
		text:   fmt.Sprintf("the charger is made for %s, and %s is of %s: it ends the charge by the wrong rule", made, s.thePack(), c.Name),
		remedy: fmt.Sprintf("do not charge with it. Use one that is made for %s and this number of cells in series.", c.Name)}
	if burns(s.pack) || burns(&other) {
		v.signal = finding.SignalWarning
	}
	return said(v)
}
