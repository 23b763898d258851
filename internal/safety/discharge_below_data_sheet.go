package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// dischargeBelowDataSheet asks whether what ends a discharge ends it above the
// least voltage that data sheets allow.
var dischargeBelowDataSheet = &rule{each: eachPack, judge: judgeDischargeBelowDataSheet, doc: finding.Doc{
	Name: "discharge-below-data-sheet", Signal: finding.SignalWarning,
	Title: "The discharge ends below the data sheets' floor",
	What: "Holds the voltage at which the cutout opens, or the pack's own protection where there is no cutout, against the least voltage that data sheets allow for the cells in series, or their own `sheet` where one is named. " +
		"For lead-acid by the slowest steady discharge that was measured, in parts of the capacity in an hour. A WARNING for lithium-ion and sodium-ion, a NOTICE for other cells.",
	Why:     "A lithium-ion cell that is worked below its floor loses capacity, may dissolve copper from its own foil, and may short inside when it is charged again. Lead-acid and nickel cells are spoilt, not dangerous.",
	Needs:   "chemistry and cells in series of the pack, and the opening voltage of the cutout or of the pack's protection",
	Formula: "least opening voltage = cells in series × data-sheet floor of one cell",
	Source:  "The floors stand with each chemistry, with their source and status: data sheets Samsung INR18650-15L, AA Portable 26650-3300 and Panasonic HHR70AAAJ (confirmed), lead-acid by the rate of discharge second-hand. Copper: Guo et al., Sci. Rep. 6 (2016) 30248 (confirmed, abstract).",
	Example: "  cutout: {opens: 23.4 V}",
}}

func judgeDischargeBelowDataSheet(s *subject) []verdict {
	c, series, ok := cellsOf(s.pack)
	opens, at, name := s.ending(s.pack)
	if !ok || !opens.Known() {
		return nil // that nothing ends it is a rule of its own
	}
	floor, source := s.floorOf(c)
	if !below(opens.Value, floor*series) {
		return nil
	}
	v := verdict{signal: finding.SignalWarning, at: at, gauge: least("voltage at which the discharge ends", opens.Value, floor*series, source)}
	if !burns(s.pack) {
		v.signal = finding.PropertyNotice
	}
	v.text = fmt.Sprintf("%s opens at %s, and data sheets allow %s no less than %s: %s is worked until its cells are harmed", name, quantity.Brief(opens.Value), kindOf(c, series), quantity.Brief(floor*series), s.thePack())
	conservative, _ := fact[quantity.Volts](c, "conservative-floor")
	conservative = max(conservative, floor)
	v.remedy = fmt.Sprintf("set the opening to %s or more. Until then, stop at that voltage by the display.", quantity.Brief(conservative*series))
	return said(v)
}
