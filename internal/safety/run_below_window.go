package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// runBelowWindow asks whether a run was made colder than the cells may be loaded.
var runBelowWindow = &rule{each: eachRun, judge: judgeRunBelowWindow, doc: finding.Doc{
	Name: "run-below-window", Signal: finding.Caution,
	Title:   "A run below the cells' temperature window",
	What:    "Holds the lowest temperature of a run, at the pack where it was measured, else of the air, against the least at which data sheets allow the chemistry to be loaded.",
	Why:     "So cold a cell sags far more than usual: the cutout opens early, and a pack whose guard reads the voltage alone is worked with a resistance that nobody reckoned with.",
	Needs:   "the temperature of a run under load, measured or in its `conditions`",
	Source:  "Discharge windows: data sheets as named with each chemistry: Samsung INR18650-15L, AA Portable 26650-3300 and Panasonic HHR70AAAJ (confirmed), from memory for lead-acid",
	Example: "  conditions: {temperature: 4 °C}",
}}

func judgeRunBelowWindow(s *subject) []verdict {
	p, ok := s.alike()
	if !draws(s.run) || !ok {
		return nil
	}
	low, _, of, known := s.warmth()
	if !known {
		return cannot(s.run.Note.KindSpan, "whether the cells were within their temperature window", "no temperature is stated or measured", "state `temperature` in the run's `conditions`.")
	}
	c, _, _ := cellsOf(p)
	limit, source := fact[quantity.Celsius](c, "discharge-lowest-temperature")
	if !below(low, limit) {
		return nil
	}
	return said(verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: least("temperature of "+of, low, limit, source),
		text:   fmt.Sprintf("this run was made at %s (%s), and cells of %s are loaded at no less than %s", quantity.Brief(low), of, c.Name, quantity.Brief(limit)),
		remedy: "keep the pack indoors until it is needed. Do not charge it before it is warm again."})
}
