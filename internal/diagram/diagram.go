// Package diagram draws a circuit: the power path from the packs at the left to
// the motors at the right, every lead with its number, colour, size and length,
// and a second drawing of what stays live when a part is opened.
package diagram

import (
	"fmt"
	"math"
	"strconv"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// Lettering is how much is written on each lead.
type Lettering uint8

// Letterings.
const (
	InFull  Lettering = iota // number, size, colour; length and current
	Numbers                  // number and colour, for a narrow sheet; the rest is in the cut list or the key
)

// Options say how a circuit is drawn.
type Options struct {
	ID         string // begins the ids in the drawing; unique on its page
	Title      string // of the drawing; "" for one made of what it shows
	Lettering  Lettering
	Key        bool // list the leads under the drawing
	Monochrome bool // colours by letters and dashes only
	Standalone bool // a file of its own, with its own styles
}

// LegendLine is one line of the legend: a colour with its word and code, or a
// remark.
type LegendLine struct {
	Colour, Stripe, Code string
	Words                string
}

// Drawing is a circuit as it was drawn.
type Drawing struct {
	SVG           []byte
	Title         string
	Description   string // for those who cannot see it
	Legend        []LegendLine
	Width, Height float64 // in units of 1/96 inch
	Crossings     int
	Boxes         []Box
}

// Power draws the power path, with the currents of a solution unless it is nil.
func Power(c *circuit.Circuit, sol *circuit.Solution, o Options) Drawing {
	s := lay(c, o)
	for i := range c.Leads {
		s.labels[i] = leadWords(&c.Leads[i], s.whips[i], o.Lettering)
		if sol == nil || o.Lettering == Numbers {
			continue
		}
		amps := sol.Leads[i].Current
		if s.labels[i][1] != "" {
			s.labels[i][1] += " · "
		}
		s.labels[i][1] += quantity.Brief(rounded(amps))
		s.arrows[i] = sign(float64(amps))
	}
	return s.finish()
}

func sign(x float64) float64 {
	switch {
	case x > 1e-9:
		return 1
	case x < -1e-9:
		return -1
	}
	return 0
}

// rounded is a current as it is written, without its sign and in three digits.
func rounded(a quantity.Amperes) quantity.Amperes {
	x := math.Abs(float64(a))
	if x < 1e-4 {
		return 0
	}
	text := strconv.FormatFloat(x, 'g', 3, 64)
	x, _ = strconv.ParseFloat(text, 64)
	return quantity.Amperes(x)
}

func leadWords(l *circuit.Lead, w circuit.Whip, how Lettering) [2]string {
	over := clean(w.Label)
	code := w.Code
	if code == "" {
		code = clean(l.Colour)
		if l.Stripe != "" {
			code += "/" + clean(l.Stripe)
		}
	}
	if code != "" {
		over += " " + code
	}
	if how == Numbers {
		return [2]string{over}
	}
	if l.Size.Area > 0 {
		over += " " + l.Size.String()
	}
	under := ""
	if l.Length > 0 {
		under = quantity.Brief(l.Length)
	}
	return [2]string{over, under}
}

func lay(c *circuit.Circuit, o Options) *sheet {
	n := analyse(c)
	l := newLayout(n).order()
	l.settle()
	s := &sheet{layout: l, opt: o, labels: make([][2]string, len(c.Leads)), arrows: make([]float64, len(c.Leads))}
	s.whips, _ = c.CutList(0)
	return s
}

func (s *sheet) finish() Drawing {
	for i, a := range s.arrows {
		if a != 0 {
			s.labels[i][1] = "→ " + s.labels[i][1]
		}
	}
	s.measure()
	for i, a := range s.arrows {
		if a != 0 {
			s.labels[i][1] = s.labels[i][1][len("→ "):]
		}
	}
	top, bottom := s.height()
	s.top = -top
	s.trace()
	s.leads(func(int) string { return "d-lead" })
	for g, ids := range s.columns {
		for _, id := range ids {
			it := s.items[id]
			if it.fig == nil {
				continue
			}
			sym := symbol{pen: &s.pen, fig: it.fig, part: &s.net.c.Parts[it.fig.part], x: s.middles[g], y: s.yOf(it.y)}
			sym.draw()
			s.out.WriteString("\n")
		}
	}
	s.letterLeads(func(int) string { return "" })
	d := Drawing{Width: s.total(), Height: bottom - top, Crossings: s.crossings, Boxes: s.boxes}
	d.SVG = fmt.Appendf(nil, `<svg xmlns="http://www.w3.org/2000/svg" class="drawing" width="%s" height="%s" viewBox="-8 -8 %s %s" font-family="Atkinson Hyperlegible Next, sans-serif" font-size="13"><g fill="none" stroke="currentColor" stroke-width="1.6" stroke-linejoin="miter">
%s</g></svg>
`, num(d.Width+16), num(d.Height+16), num(d.Width+16), num(d.Height+16), s.out.Bytes())
	return d
}
