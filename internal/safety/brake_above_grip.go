package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// brakeAboveGrip asks whether the stop that is stated can be had on rails that are not dry.
var brakeAboveGrip = &rule{each: eachVersion, judge: judgeBrakeAboveGrip, doc: finding.Doc{
	Name: "brake-above-grip", Signal: finding.Caution,
	Title:   "Planned braking exceeds the grip of wet rails",
	What:    "On rails, holds the deceleration that is stated, or that the stated force gives, against what braking is planned on with full-size wheels, 0.9 m/s². All wheels are taken to be braked: fewer hold less.",
	Why:     "On dew, rain or leaves the wheels slide, and it goes on for much longer than the stopping distance that was measured in the dry.",
	Needs:   "`braking` in `drive`, steel rails; for a force `masses`",
	Formula: "a <= 0.9 m/s², which is 0.09 of the weight",
	Units:   "m/s²",
	Source:  "0.09 to 0.1 is needed for safe braking of full-size trains: rail-traction.com (second-hand). Leaves: 0.01 second-hand, 0.05 from memory. Nothing was measured for small wheels on garden rail.",
	Example: "  drive: {surface: steel-rail, braking: {deceleration: 0.8 m/s²}}",
}}

// plannedOn is the deceleration that braking on rails is planned on; see the rule's source.
const plannedOn quantity.MetresPerSecondSquare = 0.9

func judgeBrakeAboveGrip(s *subject) []verdict {
	d := s.version.Drive
	if d == nil || d.Braking == nil || d.Surface.Value != journal.SteelRail {
		return nil
	}
	var a quantity.MetresPerSecondSquare
	switch b := d.Braking; {
	case b.Deceleration.Known():
		a = b.Deceleration.Value
	case b.Force.Known() && s.moved() > 0:
		a = quantity.MetresPerSecondSquare(float64(b.Force.Value) / s.moved())
	default:
		return nil
	}
	limit := plannedOn
	if !above(a, limit) {
		return nil
	}
	text := fmt.Sprintf("its brake is to slow it by %s: rails that are not dry hold %s at best, and leaves a tenth of that", quantity.Brief(a), quantity.Brief(limit))
	if driven := s.driving(); driven != nil {
		if speed, _ := s.fastest(driven.Top.Speed); speed > 0 {
			wet := float64(speed*speed) / (2 * float64(limit))
			text += fmt.Sprintf("; from %s it then slides on for %s once the brake is on, where it was %s", kmh(speed), quantity.Brief(quantity.Metres(wet)), quantity.Brief(quantity.Metres(float64(speed*speed)/(2*float64(a)))))
		}
	}
	return said(verdict{signal: finding.Caution, at: d.Braking.Span, gauge: most("deceleration", a, limit, ""), text: text,
		remedy: fmt.Sprintf("when the rails are not dry, go so slowly that you stop with %s; with leaves on them, not at all before they are swept. Brake the wagons as well.", quantity.Brief(limit))})
}

// moved is all mass that the version states, kg: vehicle, payload and wagons; 0 where the vehicle's is not stated.
func (s *subject) moved() float64 {
	m := s.version.Masses
	if m == nil || !m.Vehicle.Known() {
		return 0
	}
	sum := float64(m.Vehicle.Value)
	if m.Payload.Known() {
		sum += float64(m.Payload.Value)
	}
	for _, w := range m.Wagons {
		if w.Mass.Known() {
			sum += float64(w.Mass.Value) * float64(w.Count.Or(1))
		}
	}
	return sum
}
