package site

import (
	"fmt"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/study"
)

// specWay lists what a version states of its gearing, its way and its brake, and how fast it goes.
func (b *builder) specWay(s *sheet, v *journal.Version, l *specList) {
	d := v.Drive
	l.add("Efficiency of the gearing", stated(d.GearEfficiency), false)
	l.add("Rolling coefficient", stated(d.Rolling), false)
	l.add("Steepest climb", words(d.Hill.Text), false)
	l.add("Grade of the cruise", words(d.Cruise.Text), false)
	l.add("Drag area", stated(d.DragArea), false)
	l.add("Top speed wanted", stated(d.TopSpeed), false)
	l.add("Track width", stated(d.TrackWidth), false)
	l.add("Tightest curve", stated(d.Curve), false)
	if first, lacks, _ := study.TippingOf(v); first != nil && len(lacks) == 0 {
		l.add("Tips over in its tightest curve from", rough(first.From, computed, b.formulaLink(s, "overturning")), true)
	}
	if br := d.Braking; br != nil {
		l.add("Braking, deceleration", stated(br.Deceleration), false)
		l.add("Braking force", stated(br.Force), false)
		l.add("Reaction time", stated(br.Reaction), false)
	}
	driven := b.driven(v)
	if driven == nil {
		return
	}
	for _, name := range []string{"top-speed", "cruise-current"} {
		if f, ok := driven.Figure(name); ok && f.Missing == "" {
			l.add(f.Label, printed(f.Quantity, computed, b.formulaLink(s, f.Formula)), name == "top-speed")
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
	return onPage(text)
}
