package safety

import (
	"fmt"

	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// rollsAway asks whether it rolls off by itself on its steepest hill with no brake stated.
var rollsAway = &rule{each: eachVersion, judge: judgeRollsAway, doc: finding.Doc{
	Name: "rolls-away", Signal: finding.SignalWarning,
	Title:   "It rolls away on its own hill",
	What:    "Where no brake is stated, holds the steepest climb against the rolling coefficient. Beyond it the vehicle gathers speed by itself downhill.",
	Why:     "A controller that does not pass current back lets it run, and one that is off or has failed holds nothing. Without a brake it ends where the hill ends.",
	Needs:   "`hill` and surface in `drive`; `braking` says that there is a brake",
	Formula: "grade <= rolling coefficient",
	Source:  "Mechanics (computed): see road-load. That a drive is no brake: common practice, no source.",
	Example: "  drive: {hill: 1 in 60, braking: {force: 80 N}}",
}}

func judgeRollsAway(s *subject) []verdict {
	d := s.driving()
	if d == nil || d.Hill == nil || s.version.Drive.Braking != nil || !d.Rolling.Taken.Known() {
		return nil
	}
	hill, rolling := quantity.Fraction(d.Hill.Grade), quantity.Fraction(d.Rolling.Taken.Value)
	if !above(hill, rolling) {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: s.version.Drive.Hill.Span, gauge: most("grade against rolling resistance", hill, rolling, s.rollingSource(d)),
		text:   fmt.Sprintf("on a slope of %s it rolls off by itself, faster and faster, and no brake is stated: a controller does not hold it", grade(d.Hill.Grade)),
		remedy: "put chocks under it wherever it stands. Then fit a brake that acts without the battery, and state it."})
}

// rollingSource is where the rolling coefficient is from, with its status.
func (s *subject) rollingSource(d *drivetrain.Performance) string {
	if d.Rolling.Stated {
		return "the rolling coefficient as stated"
	}
	return sourced(d.Rolling.Source, d.Rolling.Status)
}
