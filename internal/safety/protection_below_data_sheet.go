package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// protectionBelowDataSheet asks whether the pack's protection is any help where
// the cutout before it fails.
var protectionBelowDataSheet = &rule{each: eachPack, judge: judgeProtectionBelowDataSheet, doc: finding.Doc{
	Name: "protection-below-data-sheet", Signal: finding.Caution,
	Title:   "The pack's protection opens below the data sheets' floor",
	What:    "Where a cutout ends the discharge, holds the voltage at which the pack's own protection opens against the least voltage that data sheets allow for the cells in series.",
	Why:     "The protection is what is left when the cutout's contact sticks or somebody bridges it. If it opens below the cells' floor, it saves the wiring and not the cells.",
	Needs:   "chemistry and cells in series of the pack, and the opening voltage of its protection",
	Formula: "least opening voltage = cells in series × data-sheet floor of one cell",
	Source:  "The floors stand with each chemistry, with their source and status: data sheets Samsung INR18650-15L, AA Portable 26650-3300 and Panasonic HHR70AAAJ (confirmed), lead-acid by the rate of discharge second-hand.",
	Example: "  protection: {opens: 21.2 V}",
}}

func judgeProtectionBelowDataSheet(s *subject) []verdict {
	c, series, ok := cellsOf(s.pack)
	opens := s.pack.Protection.Opens
	if !ok || !opens.Known() || s.version.Cutout == nil {
		return nil // without a cutout the protection ends the discharge, which is judged as such
	}
	floor, source := s.floorOf(c)
	if !below(opens.Value, floor*series) {
		return nil
	}
	return said(verdict{signal: finding.Caution, at: opens.Span, gauge: least("voltage at which the protection opens", opens.Value, floor*series, source),
		text:   fmt.Sprintf("the protection of %s opens at %s, below the %s that data sheets allow %s: it does not stand in for the cutout", s.thePack(), quantity.Brief(opens.Value), quantity.Brief(floor*series), kindOf(c, series)),
		remedy: "treat the cutout as the only guard: try it before each season, and set or change the protection when you can."})
}
