package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// brakeBelowHill asks whether the brake stops it on its steepest hill.
var brakeBelowHill = &rule{each: eachVersion, judge: judgeBrakeBelowHill, doc: finding.Doc{
	Name: "brake-below-hill", Signal: finding.SignalWarning,
	Title:   "The brake does not stop it on the hill",
	What:    "Looks for a stop, on the level or down the steepest climb, that never ends: the hill pulls as hard as the brake and the rolling resistance together, or within the uncertainty it may.",
	Why:     "A vehicle that is faster at the foot of the hill than at its top goes through whatever stands there.",
	Needs:   "`braking` and `hill` in `drive`",
	Formula: "brake + rolling > m * g * sin(grade), see `stopping-distance`",
	Source:  "Mechanics (computed): see stopping-distance; that it is to stop: common practice, no source",
	Example: "  drive: {hill: 1 in 50, braking: {deceleration: 0.9 m/s²}}",
}}

func judgeBrakeBelowHill(s *subject) []verdict {
	d := s.driving()
	if d == nil {
		return nil
	}
	for _, stop := range d.Stops {
		if stop.Err == "" {
			continue
		}
		return said(verdict{signal: finding.SignalWarning, at: s.version.Drive.Braking.Span, numbers: stop.Label + ": no stop",
			text:   fmt.Sprintf("%s the brake may not bring it to a stand", stop.Label),
			remedy: "do not take that hill with this load until the brake is stronger. Try it first with nobody aboard, at walking pace, with somebody at the foot."})
	}
	return nil
}
