package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// leadNotToppedUp asks whether a lead-acid pack stood for long without being full.
var leadNotToppedUp = &rule{each: eachRun, judge: judgeLeadNotToppedUp, doc: finding.Doc{
	Name: "lead-not-topped-up", Signal: finding.PropertyNotice,
	Title:   "A lead-acid pack stood less than full",
	What:    "Looks at a rest of a week or longer and holds the voltage at its end, of one cell of a lead-acid pack, against that of a cell at the charge at which it is topped up.",
	Why:     "Lead-acid is stored full: what stands part charged hardens, and the capacity does not come back.",
	Needs:   "packs of one chemistry and one number of cells in series, and a rest with voltages",
	Formula: "least = OCV(80 %) − 2 × spread of the curve, of one cell",
	Source:  "Victron book: self-discharge a month and the time to the next topping up (confirmed); 80 % follows from both (computed). A week: own choice, no source.",
	Example: "  type: rest",
}}

func judgeLeadNotToppedUp(s *subject) []verdict {
	cell, volts, rested, ok := s.rested()
	if !ok || cell.Chemistry.Value.Family() != leadAcid || below(rested, longRest) {
		return nil
	}
	c, _, _ := cellsOf(cell)
	charge, source := fact[quantity.Number](c, "storage-lowest")
	limit, _ := c.Curve().At(float64(charge))
	empty, _ := c.Curve().At(tooEmpty)
	spread, _ := fact[quantity.Volts](c, "ocv-volts-spread")
	if limit -= 2 * spread; !below(volts, limit) || below(volts, empty) { // below that stored-empty speaks
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: s.run.EvidenceSpan(), gauge: aCell(least("voltage at rest", volts, limit, source)),
		text:   fmt.Sprintf("the battery stood for %.0f days and was at %s a cell at the end: less than about %.0f %% full", float64(rested)/secondsAnHour/24, quantity.Brief(volts), 100*float64(charge)),
		remedy: "charge it full now, and again before it has stood for half a year (AGM and gel) or four months (open batteries), sooner in the warm."})
}
