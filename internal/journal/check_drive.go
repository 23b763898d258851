package journal

import (
	"fmt"

	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// checkDrive judges what a version states of its drive beyond ratio and wheel.
func (l *loader) checkDrive(v *Version) {
	for _, m := range v.Motors {
		l.atLeastOne("count", m.Count)
		positive(l, "stall-current", m.StallCurrent)
		positive(l, "rated-speed", m.RatedSpeed)
		positive(l, "rated-current", m.RatedCurrent)
		positive(l, "copper", m.Copper)
	}
	if m := v.Masses; m != nil {
		positive(l, "vehicle-height", m.VehicleHeight)
		positive(l, "payload-height", m.PayloadHeight)
		for _, w := range m.Wagons {
			positive(l, "mass", w.Mass)
			l.atLeastOne("count", w.Count)
			l.coefficient("rolling", w.Rolling)
			positive(l, "height", w.Height)
		}
	}
	d := v.Drive
	if d == nil {
		return
	}
	l.share("gear-efficiency", d.GearEfficiency)
	l.coefficient("rolling", d.Rolling)
	positive(l, "drag-area", d.DragArea)
	positive(l, "top-speed", d.TopSpeed)
	positive(l, "track-width", d.TrackWidth)
	positive(l, "curve", d.Curve)
	l.grade("hill", d.Hill, true)
	l.grade("cruise", d.Cruise, false)
	b := d.Braking
	if b == nil {
		return
	}
	positive(l, "deceleration", b.Deceleration)
	positive(l, "force", b.Force)
	notNegative(l, "reaction", b.Reaction)
	if b.Deceleration.Set && b.Force.Set {
		l.add(finding.Error, notes.RuleImpossibleValue, b.Force.Span, "`force`: a deceleration is stated as well, and the two may not agree", "keep the one that was measured.")
	}
}

// coefficient judges a rolling coefficient, force over weight.
func (l *loader) coefficient(name string, v notes.Value[quantity.Number]) {
	bound(l, name, v, func(c quantity.Number) bool { return c > 0 && c < 1 }, "above 0 and below 1", "write force over weight, such as 0.014.")
}

// grade judges a grade that is written as words; a hill has to climb.
func (l *loader) grade(name string, w notes.Word, climbs bool) {
	if !w.Set {
		return
	}
	g, err := drive.ParseGrade(w.Text)
	switch {
	case err != nil:
		l.add(finding.Error, RuleMalformedWord, w.Span, fmt.Sprintf("`%s`: %v", name, err), "write it as 1 in 60, 2 % or level.")
	case climbs && !(g > 0):
		l.add(finding.Error, RuleMalformedWord, w.Span, fmt.Sprintf("`%s`: %s is no climb", name, w.Text), "write the steepest climb on its way, or leave the key out.")
	}
}
