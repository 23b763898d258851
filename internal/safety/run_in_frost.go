package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// runInFrost reminds of the charge that follows a run in the frost.
var runInFrost = &rule{each: eachRun, judge: judgeRunInFrost, doc: finding.Doc{
	Name: "run-in-frost", Signal: finding.PropertyNotice,
	Title:   "A run in the frost",
	What:    "Looks for a run of a lithium-ion or sodium-ion pack that was colder than the pack may be charged, and within its window under load.",
	Why:     "The pack may be used so, and it may not be charged so. Who comes in from the cold and plugs the charger in plates lithium.",
	Needs:   "the temperature of a run under load, measured or in its `conditions`",
	Source:  "Least charging temperature: data sheets Samsung INR18650-30Q and AA Portable 26650-3300 (confirmed), others as named with each chemistry",
	Example: "  conditions: {temperature: 4 °C}",
}}

func judgeRunInFrost(s *subject) []verdict {
	p, ok := s.alike()
	if !draws(s.run) || !ok || !burns(p) {
		return nil
	}
	low, _, of, known := s.warmth()
	if !known {
		return nil // run-below-window says that it lacks
	}
	c, _, _ := cellsOf(p)
	least0, source := strictest[quantity.Celsius](s, "charge-lowest-temperature", true)
	window, _ := fact[quantity.Celsius](c, "discharge-lowest-temperature")
	if !below(low, least0) || below(low, window) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: s.run.EvidenceSpan(), gauge: least("temperature of "+of, low, least0, source),
		text:   fmt.Sprintf("this run was made at %s (%s): a pack so cold may be used, and may not be charged below %s", quantity.Brief(low), of, quantity.Brief(least0)),
		remedy: "let the pack warm through indoors, some hours for a large one, before it goes on the charger."})
}
