package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// motorOvervoltage asks whether a motor gets more than its rated voltage.
var motorOvervoltage = &rule{each: eachVersion, judge: judgeMotorOvervoltage, doc: finding.Doc{
	Name: "motor-overvoltage", Signal: finding.SignalWarning,
	Title:   "A motor above its rated voltage",
	What:    "Holds the full voltage of the packs times the controller's setting against the rated voltage of each motor. From a quarter above it a NOTICE, from half above it a CAUTION, from twice on a WARNING.",
	Why:     "Speed grows with the voltage, and the heat of a held motor with its square. Brushes, bearings and what the wheels do in a curve are made for the rated speed.",
	Needs:   "`rated` of each motor; full voltage of the packs; `setting` of the controller, else it is taken as fully open",
	Formula: "U_motor = full voltage * setting; speed as U_motor / U_rated, heat of a held motor as its square",
	Source:  "Proportion of speed and voltage: see motor-model. That motors stand a quarter more: common practice, no source. The steps: own choice, no source.",
	Example: "  motors: [{rated: 24 V}]\n  controller: {setting: 70 %}",
}}

// How many times the rated voltage is worth saying, much, and far too much.
const (
	ratedMore  = 1.25
	ratedMuch  = 1.5
	ratedTwice = 2
)

func judgeMotorOvervoltage(s *subject) []verdict {
	full := s.fullest()
	if len(s.version.Motors) == 0 || !full.Known() {
		return nil
	}
	volts := quantity.Volts(float64(full.Value) * float64(s.opened()))
	for i := range s.version.Motors {
		m := &s.version.Motors[i]
		if !m.Rated.Known() || below(volts, quantity.Volts(ratedMore*float64(m.Rated.Value))) {
			continue
		}
		ratio := float64(volts / m.Rated.Value)
		v := verdict{signal: grave(volts, m.Rated.Value, ratedMuch, finding.PropertyNotice, finding.Caution), at: m.Rated.Span, gauge: most("voltage at the motor", volts, m.Rated.Value, ""),
			text: fmt.Sprintf("with full packs a motor for %s gets %s: it turns %s as fast as it is made for, and held still it makes %s the heat",
				quantity.Brief(m.Rated.Value), quantity.Brief(volts), times(ratio), times(ratio*ratio)),
			remedy: "turn the setting down first, and feel the motor after each round. Then take fewer cells in series, or a motor for the voltage."}
		v.signal = grave(volts, m.Rated.Value, ratedTwice, v.signal, finding.SignalWarning)
		return said(v)
	}
	return nil
}
