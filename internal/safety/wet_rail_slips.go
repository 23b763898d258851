package safety

import (
	"fmt"

	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// wetRailSlips asks whether the wheels grip on its steepest hill when the rails are wet.
var wetRailSlips = &rule{each: eachVersion, judge: judgeWetRailSlips, doc: finding.Doc{
	Name: "wet-rail-slips", Signal: finding.Caution,
	Title:   "Wheels that slip on wet rails",
	What:    "Holds the pull that the steepest climb asks for, over the weight on the driven wheels, against the middle of the grip on damp rails, of dew, mist or first drops, and on rails rinsed by rain, which hold more. All of the vehicle's own weight is taken to rest on driven wheels; the payload rides behind. A CAUTION; where nobody rides, a NOTICE.",
	Why:     "Wheels that slip neither pull nor brake, and the train stands or runs back. Damp is worse than rain, and leaves are worst.",
	Needs:   "`hill` in `drive`, steel rails, `masses`",
	Formula: "(rolling coefficient + grade) * whole mass / vehicle's mass <= grip",
	Source:  "Grip of full-size steel tyres: rinsed rails 0.10 to 0.15, Koffman 1948 (confirmed) and a page on railways (second-hand); that damp is worse: Fisk et al. 2015 (confirmed), with no figure; 0.05 to 0.10, and the middle of each: own choice, no source. Nothing was measured for small wheels",
	Example: "  drive: {surface: steel-rail, hill: 1 in 80}",
}}

func judgeWetRailSlips(s *subject) []verdict {
	d, v := s.driving(), s.version
	if d == nil || d.Hill == nil || !d.Hill.HasSpeed() || d.LimitedByGrip && above(quantity.Fraction(d.Hill.Grade), d.SteepestStart.Value) || v.Drive.Surface.Value != journal.SteelRail {
		return nil
	}
	own := float64(v.Masses.Vehicle.Value)
	whole := own + float64(d.Hill.Payload)
	for _, w := range v.Masses.Wagons {
		whole += float64(w.Mass.Value) * float64(w.Count.Or(1))
	}
	asked := quantity.Number((float64(d.Rolling.Taken.Value) + float64(d.Hill.Grade)) * whole / own)
	state := drive.DampRail
	if grip, _ := gripOn(drive.WetRail); above(asked, grip) {
		state = drive.WetRail
	}
	grip, source := gripOn(state)
	if !above(asked, grip) {
		return nil
	}
	leaves := drive.AdhesionOn(drive.LeafyRail)
	signal := finding.Caution
	if v.Use != nil && v.Use.Rider.Value == journal.Nobody {
		signal = finding.PropertyNotice
	}
	return said(verdict{signal: signal, at: v.Drive.Hill.Span, gauge: most("pull over the weight on the driven wheels", asked, grip, source),
		text: fmt.Sprintf("on %s rails the wheels may slip on a climb of %s: the train asks them for a pull of %s of the weight on them, and such rails hold about %s; with leaves it is %s to %s",
			state, grade(d.Hill.Grade), three(quantity.Exact(quantity.Fraction(asked)).Quantity()), share(float64(grip)), share(leaves.Low), share(leaves.High)),
		remedy: "take less behind when the rails are wet, and start before the hill; keep leaves off the line, and a brake on the wagons."})
}

// gripOn is the middle of the grip on rails in a state, and its source with its status.
func gripOn(state string) (quantity.Number, string) {
	a := drive.AdhesionOn(state)
	return quantity.Number((a.Low + a.High) / 2), sourced(a.Source, a.Status)
}
