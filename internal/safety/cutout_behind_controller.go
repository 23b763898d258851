package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// cutoutBehindController asks whether a cutout stands where the controller has chopped the voltage already.
var cutoutBehindController = &rule{each: eachVersion, judge: judgeCutoutBehindController, doc: finding.Doc{
	Name: "cutout-behind-controller", Signal: finding.SignalWarning,
	Title:   "A cutout behind the controller",
	What:    "Looks whether the input of a cutout is joined to the output of a controller.",
	Why:     "There it sees the chopped voltage of the motor, not that of the packs: it opens at the wrong one or not at all, and the controller goes on drawing when it has opened. A cutout guards the packs only between them and the controller.",
	Needs:   "`wiring`",
	Source:  "Cutout between pack and controller: common practice, no source",
	Example: "  leads: [{from: \"cutout:out+\", to: \"controller:in+\"}]",
}}

func judgeCutoutBehindController(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	for _, k := range partsOf(w.Circuit, circuit.Controller) {
		controller := &w.Circuit.Parts[k]
		side := "+"
		if controller.CommonPositive {
			side = "-" // it chops the negative side
		}
		for _, i := range partsOf(w.Circuit, circuit.Cutout) {
			cutout := &w.Circuit.Parts[i]
			itself := func(p *circuit.Part) bool { return p.Name != cutout.Name }
			if w.Circuit.Joined(circuit.Terminal{Part: cutout.Name, Name: "in" + side}, circuit.Terminal{Part: controller.Name, Name: "out" + side}, itself) {
				return said(verdict{signal: finding.SignalWarning, at: s.atPart(i), numbers: cutout.Name + " behind " + controller.Name,
					text:    fmt.Sprintf("`%s` stands behind `%s`: it sees the voltage that the motor gets, not that of the packs, and does not guard them", cutout.Name, controller.Name),
					remedy:  "stop by a voltage that you read off at the packs. Then put the cutout between the packs and the controller.",
					related: []finding.Related{{Span: s.atPart(k), Text: "the controller"}}})
			}
		}
	}
	return nil
}
