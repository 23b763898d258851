package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// toyVoltage asks whether a toy has more than the voltage that toys may have.
var toyVoltage = &rule{each: eachPack, judge: judgeToyVoltage, doc: finding.Doc{
	Name: "toy-voltage", Signal: finding.Caution,
	Title:   "A toy above 24 V",
	What:    "Holds the nominal voltage of each pack of a vehicle that is used as a toy against 24 V.",
	Why:     "The rules for toys stop there: above it nothing is said of what is safe for a child to touch, to short or to take apart, and insurers may ask.",
	Needs:   "`as` in the version's `use`; chemistry and cells in series of the pack",
	Formula: "U = cells in series × nominal voltage of one cell",
	Source:  "24 V: Toy Safety Directive 2009/48/EC, and ASTM F963 4.25 (both second-hand); that it is read as the nominal voltage is from memory",
	Example: "  use: {as: toy, rider: child, age: 7}",
}}

// toyLimit is the most that a toy may have.
const toyLimit quantity.Volts = 24

func judgeToyVoltage(s *subject) []verdict {
	nominal := s.pack.Nominal()
	if s.version.Use == nil || s.version.Use.As.Value != journal.Toy || !nominal.Known() || !above(nominal.Value, toyLimit) {
		return nil
	}
	return said(verdict{signal: finding.Caution, at: s.pack.Series.Span, gauge: most("nominal voltage", nominal.Value, toyLimit, ""),
		text:   fmt.Sprintf("%s has %s, and a toy has no more than %s", s.thePack(), quantity.Brief(nominal.Value), quantity.Brief(toyLimit)),
		remedy: "use fewer cells in series; or treat it as the vehicle that it is: covers that need a tool, a grown person beside it, and your insurer's word."})
}
