package driving

import (
	"voltwright/internal/drivetrain"
	"voltwright/internal/quantity"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Face is how a version drives in one line: its speed on the level and up its hill, and how far it stops.
func Face(rd *reading.Reader, d *drivetrain.Performance) []numeral.Phrase {
	if d.Err != "" || d.NoSpeed != "" {
		return []numeral.Phrase{numeral.Say("Not computed: " + numeral.MidSentence(numeral.OnPage(d.Err+d.NoSpeed)))}
	}
	var out []numeral.Phrase
	add := func(before string, q quantity.Quantity, after string) {
		if len(out) > 0 {
			out = append(out, numeral.Say(", "))
		}
		out = append(out, numeral.Say(before), numeral.SayNumber(rd.Units(numeral.Printed(q, numeral.Computed, ""))), numeral.Say(after))
	}
	if d.Top.HasSpeed() {
		way := " on the level"
		if g := d.Top.Grade; g != 0 {
			way = " on its usual way"
		}
		add("", d.Top.Speed.Quantity(), way)
	}
	if d.Hill != nil && d.Hill.HasSpeed() {
		add("", d.Hill.Speed.Quantity(), " "+numeral.MidSentence(numeral.OnPage(d.Hill.Label)))
	}
	if f, ok := d.Figure("stopping-distance"); ok {
		if q, known := f.Quantity.Get(); known {
			add("stops in ", q, "")
		}
	}
	if len(out) == 0 {
		return []numeral.Phrase{numeral.Say("It has no steady speed.")}
	}
	return append(out, numeral.Say("."))
}
