package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// dischargeBelowConservativeFloor asks whether what ends a discharge leaves
// something in hand between the loaded voltage and the data sheets' floor.
var dischargeBelowConservativeFloor = &rule{each: eachPack, judge: judgeDischargeBelowConservativeFloor, doc: finding.Doc{
	Name: "discharge-below-conservative-floor", Signal: finding.Caution,
	Title: "The discharge ends below the conservative floor",
	What: "Holds the voltage at which the cutout opens, or the pack's own protection where there is no cutout, against the least voltage under load that spares the cells. " +
		"Below the data sheets' floor another rule speaks. A CAUTION for lithium-ion, a NOTICE for other cells.",
	Why:     "The cells of a pack are not alike: when the pack's mean is at the data sheets' floor, its weakest cell is below it. Between the two floors there is little charge left to win.",
	Needs:   "chemistry and cells in series of the pack, and the opening voltage of the cutout or of the pack's protection",
	Formula: "least opening voltage = cells in series × conservative floor of one cell",
	Source:  "Conservative floors: common practice, no source; they stand with each chemistry.",
	Example: "  cutout: {opens: 23.4 V}",
}}

func judgeDischargeBelowConservativeFloor(s *subject) []verdict {
	c, series, ok := cellsOf(s.pack)
	opens, at, name := s.ending(s.pack)
	if !ok || !opens.Known() {
		return nil
	}
	floor, _ := s.floorOf(c)
	spares, source := fact[quantity.Volts](c, "conservative-floor")
	if below(opens.Value, floor*series) || !below(opens.Value, spares*series) {
		return nil
	}
	v := verdict{signal: finding.Caution, at: at, gauge: least("voltage at which the discharge ends", opens.Value, spares*series, source)}
	if !burns(s.pack) {
		v.signal = finding.PropertyNotice
	}
	v.text = fmt.Sprintf("%s opens at %s: above the %s that data sheets allow %s, and below the %s that spare the weakest of them", name, quantity.Brief(opens.Value), quantity.Brief(floor*series), kindOf(c, series), quantity.Brief(spares*series))
	v.remedy = fmt.Sprintf("set the opening to %s or more; what lies below it gives little more run time.", quantity.Brief(spares*series))
	return said(v)
}
