package wiringsheet

import (
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/wiring"
)

// Setting is a cell across the foot of the first page: what is looked up with a screwdriver in the hand.
type Setting struct {
	Label, Value, Also string
}

// Blank is a line to be filled in with a pencil.
type Blank struct {
	What, Unit string
}

// EndsToMake is how many ends of one make there are.
type EndsToMake struct {
	How    string
	Pieces int
}

// Fuses are the fuses and breakers of the wiring, those of one rating together.
func Fuses(v *journal.Version) []Setting {
	c, ok := v.Circuit()
	if !ok {
		return nil
	}
	var out []Setting
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
		if i := slices.IndexFunc(out, func(s Setting) bool { return s.Value == value && s.Also == also }); i >= 0 {
			out[i].Label += ", " + p.Name
			continue
		}
		out = append(out, Setting{p.Name, value, also})
	}
	for i := range out {
		out[i].Label = Capital(out[i].Label)
	}
	return out
}

// EndsCounted counts the ends of each make, in the order of their first lead.
func EndsCounted(w *wiring.Analysis) []EndsToMake {
	var out []EndsToMake
	for i := range w.Whips {
		for _, e := range []*circuit.WhipEnd{&w.Whips[i].A, &w.Whips[i].B} {
			words := endWords(e).How
			if words == "" {
				words = "not stated"
			}
			if k := slices.IndexFunc(out, func(m EndsToMake) bool { return m.How == words }); k >= 0 {
				out[k].Pieces++
			} else {
				out = append(out, EndsToMake{words, 1})
			}
		}
	}
	return out
}

// Tightened are the parts with studs or screw clamps of which some lead ends there: no note states a torque, so each is a line to
// fill in by what its maker says.
func Tightened(w *wiring.Analysis) []Blank {
	var out []Blank
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
			out = append(out, Blank{p.Name, "N m"})
		}
	}
	return out
}

// Capital begins a label with a capital letter.
func Capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }
