// Package diagram draws a circuit: the power path from the packs at the left to
// the motors at the right, every lead with its number, colour, size and length,
// a second drawing of what stays live when a part is opened, and a third of what
// changed since the circuit before.
//
// Everything is laid out here, from the netlist alone. Parts stand in columns,
// each to the right of what feeds it; leads run from column to column through
// channels, each upright on a track of its own. Leads join at terminals and
// nowhere else, so that no dot is needed: where two lines cross, the one that
// runs across has a gap. Symbols are after IEC 60617, colour letters after IEC
// 60757, both from memory.
//
// A drawing carries classes and presentation attributes and no style, so that a
// style sheet gives it its colours (themes/workshop/drawing.css) and it can be
// read without one. The same circuit and options give the same bytes.
//
// What it cannot show: where a lead lies in the vehicle, and what a lead joins
// that has an end at no terminal; such a lead is left out.
package diagram

import (
	"math"
	"strconv"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// Lettering is how much is written on each lead.
type Lettering uint8

// Letterings.
const (
	InFull  Lettering = iota // number, colour letters and size; length and current
	Numbers                  // number and colour letters, for a narrow sheet; the rest is in the cut list or the key
)

// Paper is a sheet of paper, lying.
type Paper uint8

// Papers.
const (
	NoPaper Paper = iota // as large as the drawing is
	A4                   // 297 mm by 210 mm
	Letter               // 11 in by 8.5 in
)

// Options say how a circuit is drawn.
type Options struct {
	ID         string // begins the ids in the drawing; unique on its page. "" for "drawing"
	Title      string // of the drawing; "" for one made of what it shows
	Lettering  Lettering
	Key        bool // list the leads under the drawing
	Monochrome bool // for black and white: colours by letters and dashes
	Standalone bool // a file of its own, with its own styles
	Tall       bool // for a telephone: the parts under each other, and no wider than it shows; Lettering and Key have nothing to say
	Paper      Paper
	Issue      []string // lines for the title block on paper: vehicle, maker, date

	keyColumns int // at least
}

// LegendLine is one line of the legend: a colour of lead with its letters, a sign,
// or, with neither, a remark.
type LegendLine struct {
	Colour, Stripe, Code string
	Sign                 Sign
	Words                string
}

// Drawing is a circuit as it was drawn.
type Drawing struct {
	SVG           []byte
	Title         string
	Description   string // for those who do not see it: the way of the power, part by part
	Legend        []LegendLine
	Width, Height float64 // in units of 1/96 inch at full size
	Crossings     int
	// CapHeight is the height of capitals on paper; 0 without paper. Below
	// LeastLettering the drawing is too large for its sheet, and says so.
	CapHeight quantity.Metres
	Boxes     []Box // the room that every text, stroke and piece of lead takes
}

// LeastLettering is the least height of capitals on paper. ISO 3098 begins at
// 1.8 mm, from memory.
const LeastLettering quantity.Metres = 0.002

// Power draws the power path, with the currents of a solution unless it is nil.
// On paper, a drawing that is too large in full has numbers on its leads and a
// key.
func Power(c *circuit.Circuit, sol *circuit.Solution, o Options) Drawing {
	var shared plans
	d := power(c, sol, o, &shared)
	if o.Paper != NoPaper && o.Lettering == InFull && d.CapHeight < LeastLettering {
		o.Lettering, o.Key = Numbers, true
		for o.keyColumns = 1; o.keyColumns <= 3; o.keyColumns++ {
			if short := power(c, sol, o, &shared); short.CapHeight > d.CapHeight {
				d = short
			}
		}
	}
	return d
}

func power(c *circuit.Circuit, sol *circuit.Solution, o Options, shared *plans) Drawing {
	s := shared.lay(c, o, nil)
	if sol != nil && len(sol.Leads) != len(c.Leads) {
		sol = nil
	}
	for i := range c.Leads {
		l := &c.Leads[i]
		if o.Lettering == Numbers {
			s.labels[i] = [2]string{clean(s.whips[i].Label), s.code(i)}
			continue
		}
		s.labels[i] = [2]string{s.number(i), ""}
		if l.Size.Area > 0 {
			s.labels[i][0] += " " + l.Size.String()
		}
		if l.Length > 0 {
			s.labels[i][1] = quantity.Brief(l.Length)
		}
		if sol == nil {
			continue
		}
		if s.labels[i][1] != "" {
			s.labels[i][1] += " · "
		}
		s.labels[i][1] += quantity.Brief(rounded(sol.Leads[i].Current))
		s.arrows[i] = sign(float64(sol.Leads[i].Current))
		s.drops[i] = "drop " + quantity.Brief(rounded(sol.Leads[i].Drop))
	}
	s.position = contactsOpen
	if sol != nil {
		s.position = func(p *circuit.Part) circuit.Position { return sol.Point.Parts[p.Name].Position }
	}
	s.title = o.Title
	if s.title == "" {
		s.title = "Power path"
		if sol != nil {
			s.title += " at " + sol.Point.Name
		}
	}
	s.legend = s.powerLegend(sol)
	if o.Key {
		s.key = s.keyRows(sol)
	}
	return s.finish(s.describe(sol))
}

// contactsOpen has every contact drawn open, as it stands without power.
func contactsOpen(*circuit.Part) circuit.Position { return circuit.Opened }

// number is the number of a lead with the letters of its colour.
func (s *sheet) number(i int) string {
	text := clean(s.whips[i].Label)
	if code := s.code(i); code != "" {
		text += " " + code
	}
	return text
}

// code is the letters of a lead's colour, or its words where there are none.
func (s *sheet) code(i int) string {
	l := &s.net.c.Leads[i]
	code := s.whips[i].Code
	if code == "" {
		code = clean(l.Colour)
		if l.Stripe != "" {
			code += "/" + clean(l.Stripe)
		}
	}
	return code
}

// sign is the direction of a current, 0 for one that is as good as none.
func sign(x float64) float64 {
	switch {
	case x >= least:
		return 1
	case x <= -least:
		return -1
	}
	return 0
}

// least is the current or voltage under which none is written.
const least = 1e-4

// rounded is a value as it is written on a drawing, without its sign and in
// three digits.
func rounded[K quantity.Kind](k K) K {
	x := math.Abs(float64(k))
	if !(x >= least) {
		return 0
	}
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	return K(x)
}

// plans are the layouts of one circuit, with its figures wide or narrow; a layout
// is found once and drawn as often as is needed.
type plans [2]*layout

// lay begins a drawing of a circuit; remarks are written with the rating of a
// part.
func (p *plans) lay(c *circuit.Circuit, o Options, remarks map[string]string) *sheet {
	return p.layWith(c, o, func(f *figure) {
		if text := remarks[c.Parts[f.part].Name]; text != "" {
			f.rating = append(f.rating, text)
		}
	})
}

// layWith begins a drawing of a circuit, each of its figures finished before they
// are put in order.
func (p *plans) layWith(c *circuit.Circuit, o Options, more func(*figure)) *sheet {
	narrow := 0
	if o.Lettering == Numbers {
		narrow = 1
	}
	if p[narrow] == nil {
		n := analyse(c)
		n.narrow = narrow == 1
		l := newLayout(n)
		for _, it := range l.items {
			if it.fig != nil {
				more(it.fig)
			}
		}
		p[narrow] = l.order()
		p[narrow].settle()
	}
	s := &sheet{layout: p[narrow], opt: o, labels: make([][2]string, len(c.Leads)), arrows: make([]float64, len(c.Leads)), drops: make([]string, len(c.Leads))}
	s.whips, _ = c.CutList(0)
	return s
}
