package safety

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// motorOverloadedHill asks for how long the motors stand the steepest climb.
var motorOverloadedHill = &rule{each: eachVersion, judge: judgeMotorOverloadedHill, doc: finding.Doc{
	Name: "motor-overloaded-hill", Signal: finding.Caution,
	Title:   "A motor above its rated current on the hill",
	What:    "Holds the computed current of each motor on the steepest climb, at the nominal voltage, against its rated current. A NOTICE, and from twice that on a CAUTION. Where the usual way is too much already, `motor-overloaded` says both. Says, where the copper is known, how long it takes to its limit if no heat leaves it.",
	Why:     "A short climb is what motors are good for; a long one, or one climbed again and again, burns them.",
	Needs:   "`rated-current` of the motors, and `copper` for the time; `hill` in `drive`",
	Formula: "I <= I_rated; time = time at stall * (I_stall / I)²",
	Source:  "The motor's own plate, as stated in rated-current; heat capacity of copper (second-hand), see stall-time. Twice: own choice, no source.",
	Example: "  drive: {hill: 1 in 60}\n  motors: [{rated-current: 9.8 A, copper: 105 g}]",
}}

func judgeMotorOverloadedHill(s *subject) []verdict {
	d := s.driving()
	if d == nil || d.Hill == nil || !d.Hill.HasSpeed() || !d.RatedCurrent.Known() || overloadedOnItsWay(d) {
		return nil // what lacks is asked for by motor-overloaded, and what is too much on the usual way is told there
	}
	amps, rated := d.Hill.MotorCurrent.Value, d.RatedCurrent.Value
	if !above(amps, rated) {
		return nil
	}
	v := verdict{signal: grave(amps, rated, 2, finding.PropertyNotice, finding.Caution), at: s.version.Drive.Hill.Span, gauge: most("current of a motor", amps, rated, ""),
		text:   fmt.Sprintf("on a climb of %s %s takes about %s, and is rated for %s", grade(d.Hill.Grade), eachMotor(d.Motors), three(quantity.Exact(amps).Quantity()), quantity.Brief(rated)),
		remedy: "climb it once and let the motors cool; take less load. Then gear it lower, or take greater motors."}
	if d.Stall != nil && d.Stall.Time.Known() {
		t := float64(d.Stall.Time.Value) * math.Pow(float64(d.Stall.Motor.Value/amps), 2)
		v.text += fmt.Sprintf("; with no heat leaving it the winding would stand that for about %s", minutes(t))
	}
	return said(v)
}

// minutes is a time roughly: "40 s", "7 min".
func minutes(seconds float64) string {
	if seconds < 90 {
		return fmt.Sprintf("%.0f s", 10*math.Round(seconds/10))
	}
	return fmt.Sprintf("%.0f min", seconds/60)
}
