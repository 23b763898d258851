package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// storedEmpty asks whether a pack was left standing empty.
var storedEmpty = &rule{each: eachRun, judge: judgeStoredEmpty, doc: finding.Doc{
	Name: "stored-empty", Signal: finding.Caution,
	Title:   "A pack stood empty",
	What:    "Looks at a rest of an hour or longer and holds the voltage at its end, of one cell, against that of a cell that is 10 % full. A CAUTION for lithium-ion, a NOTICE for other cells.",
	Why:     "What is left goes into the board and the cutout within weeks, and then the cells are below their floor. A lead-acid battery that stands empty hardens within days.",
	Needs:   "packs of one chemistry and one number of cells in series, and a rest with voltages",
	Formula: "least = OCV(10 %) of one cell",
	Source:  "Storage below empty dissolves copper: Hendricks et al., J. Electrochem. Soc. 167 (2020) ab697a (confirmed, abstract). 10 % and an hour: own choice, no source.",
	Example: "  type: rest",
}}

func judgeStoredEmpty(s *subject) []verdict {
	cell, volts, rested, ok := s.rested()
	if !ok || below(rested, shortRest) {
		return nil
	}
	c, _, _ := cellsOf(cell)
	limit, _ := c.Curve().At(tooEmpty)
	if !below(volts, limit) {
		return nil
	}
	v := verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: aCell(least("voltage at rest", volts, limit, "")),
		text:   fmt.Sprintf("the pack stood at %s a cell: less than a tenth of its charge is left for board and cutout to drain", quantity.Brief(volts)),
		remedy: "charge it to about half today, watched, and unplug whatever draws from it while it stands."}
	if !burns(cell) {
		v.signal = finding.PropertyNotice
		v.remedy = "charge it full today, and unplug whatever draws from it while it stands."
	}
	return said(v)
}
