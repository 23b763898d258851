package benchsheet

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/numeral"
	"voltwright/internal/wiring"
)

// setting is a cell across the foot of the first page: what is looked up with a screwdriver in the hand.
type setting struct {
	Label, Value, Also string
}

// blank is a line to be filled in with a pencil.
type blank struct {
	What, Unit string
}

// partToTick is a part that must lie on the bench.
type partToTick struct {
	Pieces             int
	Name, Rating, From string
}

// endsToMake is how many ends of one make there are.
type endsToMake struct {
	How    string
	Pieces int
}

// settings are the fuses, what the cutout and the controller are set to, and what the charger is.
func settings(v *journal.Version) []setting {
	out := fuses(v)
	add := func(label string, value numeral.Numeral, also string) {
		if value.Set {
			out = append(out, setting{label, value.Whole, also})
		}
	}
	if c := v.Cutout; c != nil {
		also := ""
		if c.Delay.Known() {
			also = "after " + numeral.Stated(c.Delay).Whole
		}
		add("Cutout opens", numeral.Stated(c.Opens), also)
		also = ""
		if c.Opens.Known() && c.Threshold.Known() {
			also = "closes again at " + numeral.Summed("", c.Opens.Measured, c.Threshold.Measured).Whole
		}
		add("Reset threshold", numeral.Stated(c.Threshold), also)
	}
	if c := v.Controller; c != nil {
		also := ""
		if c.Limit.Known() {
			also = "limit " + numeral.Stated(c.Limit).Whole
		}
		add("Controller", numeral.Stated(c.Setting), also)
	}
	if c := v.Charger; c != nil {
		also := ""
		if c.Current.Known() {
			also = numeral.Stated(c.Current).Whole
		}
		add("Charger ends at", numeral.Stated(c.Voltage), also)
	}
	return out
}

// fuses are the fuses and breakers of the wiring, those of one rating together.
func fuses(v *journal.Version) []setting {
	c, ok := v.Circuit()
	if !ok {
		return nil
	}
	var out []setting
	for _, p := range c.Parts {
		if p.Kind != circuit.Fuse && p.Kind != circuit.Breaker {
			continue
		}
		value, also := "not stated", ""
		if p.Current > 0 {
			value = quantity.Brief(p.Current)
		}
		if p.Volts > 0 {
			also = quantity.Brief(p.Volts) + " d.c."
		}
		if i := slices.IndexFunc(out, func(s setting) bool { return s.Value == value && s.Also == also }); i >= 0 {
			out[i].Label += ", " + p.Name
			continue
		}
		out = append(out, setting{p.Name, value, also})
	}
	for i := range out {
		out[i].Label = capital(out[i].Label)
	}
	return out
}

// partsToTick are the parts of a version's list that must be there to build it.
func partsToTick(v *journal.Version) []partToTick {
	var out []partToTick
	for i := range v.Parts {
		p := &v.Parts[i]
		if p.How.Value != journal.TakenOff {
			out = append(out, partToTick{p.Pieces(), p.Name.Text, p.Rating.Text, p.Source.Text})
		}
	}
	return out
}

// endsCounted counts the ends of each make, in the order of their first lead.
func endsCounted(w *wiring.Analysis, how func(*circuit.WhipEnd) string) []endsToMake {
	var out []endsToMake
	for i := range w.Whips {
		for _, e := range []*circuit.WhipEnd{&w.Whips[i].A, &w.Whips[i].B} {
			words := how(e)
			if words == "" {
				words = "not stated"
			}
			if k := slices.IndexFunc(out, func(m endsToMake) bool { return m.How == words }); k >= 0 {
				out[k].Pieces++
			} else {
				out = append(out, endsToMake{words, 1})
			}
		}
	}
	return out
}

// tightened are the parts with studs or screw clamps of which some lead ends there: no note states a torque, so each is a line to
// fill in by what its maker says.
func tightened(w *wiring.Analysis) []blank {
	var out []blank
	for _, p := range w.Circuit.Parts {
		style := p.Style
		for _, t := range p.Terminals() {
			if style == "" {
				style = t.Style
			}
		}
		if style != circuit.Stud && style != circuit.ScrewClamp {
			continue
		}
		if slices.ContainsFunc(w.Whips, func(x circuit.Whip) bool { return x.A.At.Part == p.Name || x.B.At.Part == p.Name }) {
			out = append(out, blank{p.Name, "N m"})
		}
	}
	return out
}

// atTheEnd are what is measured once all is made up, to be written down.
func atTheEnd(v *journal.Version) []blank {
	var out []blank
	for i := range v.Packs {
		name := strings.TrimSpace(v.Packs[i].Name.Text)
		if name == "" {
			name = "pack"
			if len(v.Packs) > 1 {
				name = fmt.Sprintf("pack %d", i+1)
			}
		}
		out = append(out, blank{capital(name) + ", at rest", "V"})
	}
	if v.Cutout != nil {
		out = append(out, blank{"Cutout opened at", "V"}, blank{"Closed again at", "V"})
	}
	return append(out, blank{"Current at rest, all switched off", "mA"}, blank{"Made up by, on", ""})
}

// capital begins a label with a capital letter.
func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }
