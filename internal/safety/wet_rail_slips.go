package safety

import (
	"fmt"
	"strings"

	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// wetRailSlips asks whether the wheels grip on its steepest hill when the rails are wet.
var wetRailSlips = &rule{each: eachVersion, judge: judgeWetRailSlips, doc: finding.Doc{
	Name: "wet-rail-slips", Signal: finding.PropertyNotice,
	Title:   "Wheels that slip on wet rails",
	What:    "Holds the pull that the steepest climb asks for, over the weight on the driven wheels, against the middle of the grip on wet rails. All of the vehicle's own weight is taken to rest on driven wheels; the payload rides behind.",
	Why:     "Wheels that slip neither pull nor brake, and the train stands or runs back. Wet leaves are worse than water.",
	Needs:   "`hill` in `drive`, steel rails, `masses`",
	Formula: "(rolling coefficient + grade) * whole mass / vehicle's mass <= grip",
	Source:  "Grip of steel tyres on wet steel rails, 0.05 to 0.15, full size (confirmed); the middle of it: our own choice, no source",
	Example: "  drive: {surface: steel-rail, hill: 1 in 80}",
}}

func judgeWetRailSlips(s *subject) []verdict {
	d, v := s.driving(), s.version
	if d == nil || d.Hill == nil || !d.Hill.Goes() || d.Slips && above(quantity.Fraction(d.Hill.Grade), d.Steepest.Value) || v.Drive.Surface.Value != journal.SteelRail {
		return nil
	}
	own := float64(v.Masses.Vehicle.Value)
	whole := own + float64(d.Hill.Payload)
	for _, w := range v.Masses.Wagons {
		whole += float64(w.Mass.Value) * float64(w.Count.Or(1))
	}
	asked := quantity.Number((float64(d.Rolling.Taken.Value) + float64(d.Hill.Grade)) * whole / own)
	grip, source := wetGrip()
	if !above(asked, grip) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: v.Drive.Hill.Span, gauge: most("pull over the weight on the driven wheels", asked, grip, source),
		text:   fmt.Sprintf("on wet rails the wheels may slip on a climb of %s: the train asks them for a pull of %s of the weight on them, and wet rails hold about %s", grade(d.Hill.Grade), three(quantity.Exact(quantity.Fraction(asked)).Quantity()), share(float64(grip))),
		remedy: "take less behind when the rails are wet, and start before the hill; keep leaves off the line, and a brake on the wagons."})
}

// wetGrip is the middle of the grip on wet rails, and its source with its status.
func wetGrip() (quantity.Number, string) {
	for _, a := range drive.Adhesions() {
		if strings.HasSuffix(a.State, ", wet") {
			return quantity.Number((a.Low + a.High) / 2), sourced(a.Source, a.Status)
		}
	}
	panic("no grip of wet rails")
}
