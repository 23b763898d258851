package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// storedFull asks whether a lithium-ion pack stood full for long.
var storedFull = &rule{each: eachRun, judge: judgeStoredFull, doc: finding.Doc{
	Name: "stored-full", Signal: finding.PropertyNotice,
	Title:   "A pack stood full",
	What:    "Looks at a rest of a week or longer and holds the voltage at its end, of one cell of a lithium-ion or sodium-ion pack, against the most that a cell of half its charge may show: sheets store lithium-ion at 30 % to 50 %.",
	Why:     "Full lithium-ion cells age while they stand, the more the warmer they are; and a full pack has the most to give to a fire.",
	Needs:   "packs of one chemistry and one number of cells in series, and a rest with voltages",
	Formula: "most = OCV(50 %) + 2 × spread of the curve, of one cell",
	Source:  "30 % to 50 %: data sheets Samsung INR18650-30Q, 40 ± 5 %, and Lishen LP54173207, 30 to 50 % (confirmed). The spread of the curve stands with each chemistry. A week: own choice, no source.",
	Example: "  type: rest",
}}

const (
	longRest              = quantity.Seconds(7 * 24 * 3600)
	tooFull               = 0.5
	tooEmpty              = 0.1
	shortRest             = quantity.Seconds(3600)
	drainWithin           = 30.0 // days
	secondsAnHour float64 = 3600
)

func judgeStoredFull(s *subject) []verdict {
	cell, volts, rested, ok := s.rested()
	if !ok || !burns(cell) || below(rested, longRest) {
		return nil
	}
	c, _, _ := cellsOf(cell)
	limit, _ := c.Curve().At(tooFull)
	spread, source := fact[quantity.Volts](c, "ocv-volts-spread")
	limit += 2 * spread
	if !above(volts, limit) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: s.run.EvidenceSpan(), gauge: aCell(most("voltage at rest", volts, limit, "spread of the curve: "+source)),
		text:   fmt.Sprintf("the pack stood for %.0f days and was still at %s a cell: more than half full, whatever its curve", float64(rested)/secondsAnHour/24, quantity.Brief(volts)),
		remedy: "run it down to between 30 % and 50 % before it stands for weeks, keep it cool, and look at it every 3 months."})
}

// rested is what a rest of the version's packs ended at, of one cell, and how long it was.
func (s *subject) rested() (cell *journal.Pack, volts quantity.Volts, length quantity.Seconds, ok bool) {
	p, ok := s.alike()
	r := s.result()
	if s.run.Type.Value != journal.Rest || !ok || r == nil || !r.EndVoltage.Known() || !r.Elapsed.Known() {
		return nil, 0, 0, false
	}
	_, series, _ := cellsOf(p)
	return p, r.EndVoltage.Value / series, r.Elapsed.Value, true
}
