package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// packHot asks whether a pack got too hot under load.
var packHot = &rule{each: eachRun, judge: judgePackHot, doc: finding.Doc{
	Name: "pack-hot", Signal: finding.SignalWarning,
	Title:   "The pack got hot",
	What:    "Holds the highest temperature that was measured at the pack on a run under load against the greatest that data sheets allow. Within 10 K of it a CAUTION, above it a WARNING.",
	Why:     "A probe on the case reads less than the cells inside. Above their window cells age by the minute, and a hot cell in the middle of a pack can set off the others.",
	Needs:   "a run with a temperature column; without one there is nothing to hold",
	Source:  "Discharge windows: data sheets as named with each chemistry: Samsung INR18650-15L, AA Portable 26650-3300 and Panasonic HHR70AAAJ (confirmed), from memory for lead-acid. 10 K for the case: own choice, no source.",
	Example: "  instruments: [{name: probe on the pack, measures: temperature, accuracy: ±1 °C}]",
}}

// caseBelowCells is how much cooler a pack's case may be than its hottest cell.
const caseBelowCells quantity.Celsius = 10

func judgePackHot(s *subject) []verdict {
	p, ok := s.alike()
	r := s.result()
	if !draws(s.run) || !ok || r == nil {
		return nil
	}
	_, hot, measured := extremes(r, runlog.Temperature)
	if !measured {
		return nil
	}
	c, _, _ := cellsOf(p)
	limit, source := fact[quantity.Celsius](c, "discharge-highest-temperature")
	high := quantity.Celsius(hot)
	if !above(high, limit-caseBelowCells) {
		return nil
	}
	v := verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: most("temperature of the pack", high, limit-caseBelowCells, source+"; less 10 K for the case"),
		text:   fmt.Sprintf("the pack reached %s on its case, and its cells, which may be no hotter than %s, are hotter inside than it is outside", quantity.Brief(high), quantity.Brief(limit)),
		remedy: "stop and let it cool. Draw less, give the pack air, or share the load between more cells."}
	if above(high, limit) {
		v.signal = finding.SignalWarning
		v.text = fmt.Sprintf("the pack reached %s, and its cells may be no hotter than %s", quantity.Brief(high), quantity.Brief(limit))
		v.remedy = "stop, put the pack outdoors on something that does not burn, and let it cool with nobody near. Do not charge it until you know why it was hot."
	}
	return said(v)
}
