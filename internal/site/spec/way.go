package spec

import (
	"fmt"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/study"
)

// specWay lists what a version states of its gearing, its way and its brake, and how fast it goes.
func specWay(rd *reading.Reader, s *frame.Sheet, v *journal.Version, l *specList) {
	d := v.Drive
	l.add("Efficiency of the gearing", numeral.Stated(d.GearEfficiency), false)
	l.add("Rolling coefficient", numeral.Stated(d.Rolling), false)
	l.add("Steepest climb", numeral.Words(d.Hill.Text), false)
	l.add("Grade of the cruise", numeral.Words(d.Cruise.Text), false)
	l.add("Drag area", numeral.Stated(d.DragArea), false)
	l.add("Top speed wanted", numeral.Stated(d.TopSpeed), false)
	l.add("Track width", numeral.Stated(d.TrackWidth), false)
	l.add("Tightest curve", numeral.Stated(d.Curve), false)
	if first, lacks, _ := study.TippingOf(v); first != nil && len(lacks) == 0 {
		l.add("Tips over in its tightest curve from", numeral.Rough(first.From, numeral.Computed, rd.FormulaLink(s, "overturning")), true)
	}
	if br := d.Braking; br != nil {
		l.add("Braking, deceleration", numeral.Stated(br.Deceleration), false)
		l.add("Braking force", numeral.Stated(br.Force), false)
		l.add("Reaction time", numeral.Stated(br.Reaction), false)
	}
	driven := rd.Driven(v)
	if driven == nil {
		return
	}
	for _, name := range []string{"top-speed", "cruise-current"} {
		f, _ := driven.Figure(name)
		if q, ok := f.Quantity.Get(); ok {
			l.add(f.Label, numeral.Printed(q, numeral.Computed, rd.FormulaLink(s, f.Formula)), name == "top-speed")
		}
	}
}

// wagonWords is a kind of wagon in words: "2 × 35 kg, open wagon".
func wagonWords(w journal.Wagon) string {
	text := quantity.Brief(w.Mass.Value)
	if n := w.Count.Or(1); n > 1 {
		text = fmt.Sprintf("%d × %s", n, text)
	}
	if w.Name.Set {
		text += ", " + w.Name.Text
	}
	return numeral.OnPage(text)
}
