package safety

import (
	"fmt"

	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// motorOverloaded asks whether the motors stand the current that they take for good.
var motorOverloaded = &rule{each: eachVersion, judge: judgeMotorOverloaded, doc: finding.Doc{
	Name: "motor-overloaded", Signal: finding.SignalWarning,
	Title:   "A motor above its rated current continuously",
	What:    "Holds the computed current of each motor on the usual grade, at the nominal voltage, against its rated current. A CAUTION, and from half as much again on a WARNING.",
	Why:     "Heat grows with the square of the current. The varnish of the winding fails first, with smoke.",
	Needs:   "`rated-current` of the motors; `drive`, `masses`",
	Formula: "I <= I_rated",
	Source:  "The motor's own plate, as stated in rated-current. Half as much again: own choice, no source.",
	Example: "  motors: [{rated-current: 9.8 A}]",
}}

func judgeMotorOverloaded(s *subject) []verdict {
	d := s.driving()
	if d == nil || !d.Cruise.HasSpeed() {
		return nil
	}
	if !d.RatedCurrent.Known() {
		return cannot(s.version.Motors[0].Span, "whether the motors stand their load", "`rated-current` is not stated", "state it from the motor's plate.")
	}
	amps, rated := d.Cruise.MotorCurrent.Value, d.RatedCurrent.Value
	if !overloadedOnItsWay(d) {
		return nil
	}
	hill := ""
	if h := d.Hill; h != nil && h.HasSpeed() {
		hill = fmt.Sprintf(", and on a climb of %s about %s", grade(h.Grade), three(quantity.Exact(h.MotorCurrent.Value).Quantity()))
	}
	return said(verdict{signal: grave(amps, rated, farTooMuch, finding.Caution, finding.SignalWarning), at: s.version.Motors[0].RatedCurrent.Span, gauge: most("current of a motor", amps, rated, ""),
		text:   fmt.Sprintf("on its usual way %s takes about %s%s, and is rated for %s: it gets hotter the longer it runs", eachMotor(d.Motors), three(quantity.Exact(amps).Quantity()), hill, quantity.Brief(rated)),
		remedy: "rest it until it is cool to the hand, and take less load. Then gear it lower, or take a greater motor."})
}

// overloadedOnItsWay tells whether the motors take more than their rated current on the usual grade.
func overloadedOnItsWay(d *drivetrain.Performance) bool {
	return d.Cruise.HasSpeed() && d.RatedCurrent.Known() && above(d.Cruise.MotorCurrent.Value, d.RatedCurrent.Value)
}

// eachMotor begins a sentence about every one of so many motors.
func eachMotor(n int) string {
	if n > 1 {
		return "each motor"
	}
	return "the motor"
}
