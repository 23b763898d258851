package diagram

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"voltwright/internal/svg"
)

// Ink says what a Box is the outline of.
type Ink string

// What is drawn.
const (
	Text   Ink = "text"
	Symbol Ink = "symbol"
	Wire   Ink = "lead"
	Mark   Ink = "mark" // a rule, a sample or a mark beside a text
)

// Box is the room that one text, one stroke of a symbol or one straight piece of
// a lead takes on the drawing, y downwards.
type Box struct {
	Ink            Ink
	Of             string // the text; the part; the label of the lead
	X0, Y0, X1, Y1 float64
}

// Overlaps tells whether two boxes have some room in common.
func (b Box) Overlaps(c Box) bool {
	return b.X0 < c.X1 && c.X0 < b.X1 && b.Y0 < c.Y1 && c.Y0 < b.Y1
}

// pen draws on a sheet and keeps account of the room that is taken.
type pen struct {
	out     bytes.Buffer
	letters bytes.Buffer // the texts, which are painted last
	boxes   []Box
	of      string // the part that is being drawn
	ink     Ink
}

func num(v float64) string { return svg.Number(v) }

func (p *pen) took(x0, y0, x1, y1, half float64) {
	p.boxes = append(p.boxes, Box{p.ink, p.of, min(x0, x1) - half, min(y0, y1) - half, max(x0, x1) + half, max(y0, y1) + half})
}

// strokeHalf is half the width of a symbol's line.
const strokeHalf = 0.8

// line draws a polyline of a symbol.
func (p *pen) line(class string, points ...float64) {
	var d strings.Builder
	for i := 0; i+1 < len(points); i += 2 {
		if i == 0 {
			d.WriteString("M")
		} else {
			d.WriteString("L")
			p.slanted(points[i-2], points[i-1], points[i], points[i+1])
		}
		d.WriteString(num(points[i]) + " " + num(points[i+1]))
	}
	fmt.Fprintf(&p.out, `<path%s d="%s"/>`, classed(class), d.String())
}

// slanted takes the room of a line, of one on the slant in short pieces.
func (p *pen) slanted(x0, y0, x1, y1 float64) {
	n := 1
	if x0 != x1 && y0 != y1 {
		n = int(max(math.Abs(x1-x0), math.Abs(y1-y0))/3) + 1
	}
	for i := range n {
		a, b := float64(i)/float64(n), float64(i+1)/float64(n)
		p.took(x0+float64(a*(x1-x0)), y0+float64(a*(y1-y0)), x0+float64(b*(x1-x0)), y0+float64(b*(y1-y0)), strokeHalf)
	}
}

// shape closes a polyline.
func (p *pen) shape(class string, points ...float64) {
	var d strings.Builder
	for i := 0; i+1 < len(points); i += 2 {
		j := (i + 2) % len(points)
		p.slanted(points[i], points[i+1], points[j], points[j+1])
		d.WriteString("ML"[min(i, 1):min(i, 1)+1] + num(points[i]) + " " + num(points[i+1]))
	}
	fmt.Fprintf(&p.out, `<path%s d="%sZ"/>`, classed(class), d.String())
}

func (p *pen) rect(class string, x0, y0, x1, y1 float64) {
	p.shape(class, x0, y0, x1, y0, x1, y1, x0, y1)
}

// ring draws a circle.
func (p *pen) ring(class string, x, y, r float64) {
	const n = 16
	for i := range n {
		a, b := 2*math.Pi*float64(i)/n, 2*math.Pi*float64(i+1)/n
		p.took(x+float64(r*math.Cos(a)), y+float64(r*math.Sin(a)), x+float64(r*math.Cos(b)), y+float64(r*math.Sin(b)), strokeHalf)
	}
	fmt.Fprintf(&p.out, `<circle%s cx="%s" cy="%s" r="%s"/>`, classed(class), num(x), num(y), num(r))
}

// arc draws a half circle from one point to another, clockwise or not.
func (p *pen) arc(class string, x0, y0, x1, y1 float64, clockwise bool) {
	r := math.Hypot(x1-x0, y1-y0) / 2
	sweep := 0
	if clockwise {
		sweep = 1
	}
	mx, my := (x0+x1)/2, (y0+y1)/2
	start := math.Atan2(y0-my, x0-mx)
	const n = 8
	for i := range n {
		turn := func(k int) float64 {
			a := math.Pi * float64(k) / n
			if !clockwise {
				a = -a
			}
			return start + a
		}
		a, b := turn(i), turn(i+1)
		p.took(mx+float64(r*math.Cos(a)), my+float64(r*math.Sin(a)), mx+float64(r*math.Cos(b)), my+float64(r*math.Sin(b)), strokeHalf)
	}
	fmt.Fprintf(&p.out, `<path%s d="M%s %sA%s %s 0 0 %d %s %s"/>`, classed(class), num(x0), num(y0), num(r), num(r), sweep, num(x1), num(y1))
}

func classed(class string) string {
	if class == "" {
		return ""
	}
	return ` class="` + class + `"`
}

// hang is the point of a text that is put at a place.
type hang string

const (
	begins hang = "start"
	middle hang = "middle"
	ends   hang = "end"
)

// text writes a line with its baseline at y.
func (p *pen) text(class, s string, x, y float64, h hang) {
	w := width(s)
	if strings.Contains(class, "d-b") {
		w = boldWidth(s)
	}
	p.words(class, s, svg.Escape(clean(s)), w, x, y, h)
}

// words writes what may have mark-up in it.
func (p *pen) words(class, s, markup string, w, x, y float64, h hang) {
	left := x
	switch h {
	case middle:
		left -= w / 2
	case ends:
		left -= w
	}
	p.boxes = append(p.boxes, Box{Text, s, left, y - float64(svg.Ascent*letterSize), left + w, y + float64(svg.Descent*letterSize)})
	anchor := ""
	if h != begins {
		anchor = ` text-anchor="` + string(h) + `"`
	}
	fmt.Fprintf(&p.letters, `<text%s x="%s" y="%s"%s>%s</text>`+"\n", classed(class), num(x), num(y), anchor, markup)
}

// clean leaves out what may not stand in XML.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0xFFFD || r == 0xFFFE || r == 0xFFFF {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
}
