package chart

import (
	"bytes"
	"fmt"
	"math"
	"strings"
)

// sheet is one of the two drawings that a still consists of: the wide one for a desk or for paper, the narrow one for
// a telephone. A style sheet shows the one that fits, so that the lettering has the same size on both.
type sheet struct {
	name          string // class and part of the ids
	width         float64
	plot          float64 // height of the plot area
	text          float64 // size of the lettering
	points        int     // points drawn of each series, at most about
	ticksX, ticks int     // ticks that there is room for
}

var sheets = []sheet{
	{name: "wide", width: 720, plot: 270, text: 14, points: 720, ticksX: 9, ticks: 6},
	{name: "narrow", width: 360, plot: 230, text: 13, points: 360, ticksX: 5, ticks: 6},
}

// SVG returns the still picture: two svg elements, the wide drawing and the narrow one, for charts.css to choose from.
// They carry no style: colours, line weights and dashes come from classes, and without a style sheet all is drawn in
// the colour of the text around it. Same plot, same bytes, on every machine.
func (p Plot) SVG() ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	for _, s := range sheets {
		d := newDrawing(p, s)
		d.compose()
		d.write(&out)
	}
	return out.Bytes(), nil
}

// drawing is one sheet on the way: the parts in the order in which they are painted.
type drawing struct {
	Plot
	sheet
	id             string
	area           box // of the plot
	height         float64
	x, left, right scale
	twoAxes        bool
	placer         *placer
	labels         []label // every text with its box, for the tests
	under          bytes.Buffer
	lines          bytes.Buffer
	over           bytes.Buffer
	keys           []key
	lowest         float64 // y under the last line of text
}

// label is a text that was put on the drawing.
type label struct {
	text string
	box  box
}

// key is a label that found no room and is written under the drawing, with a sample of what it names.
type key struct {
	class, text string
	number      int // of a mark, else 0
}

func newDrawing(p Plot, s sheet) *drawing {
	d := &drawing{Plot: p, sheet: s, id: p.ID + "-" + s.name, twoAxes: p.uses(Right)}
	d.x, d.left, d.right = p.scales(s.ticksX, s.ticks)
	d.Series = make([]Series, len(p.Series))
	for i, series := range p.Series {
		d.Series[i] = series.thinned(s.points)
	}
	return d
}

// number prints a coordinate: one decimal, no more than is needed.
func number(v float64) string {
	text := fmt.Sprintf("%.1f", v)
	text = strings.TrimSuffix(text, ".0")
	if text == "-0" {
		return "0"
	}
	return text
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func (d *drawing) px(v float64) float64 { return d.area.x0 + float64((d.area.x1-d.area.x0)*d.x.at(v)) }

func (d *drawing) py(side Side, v float64) float64 {
	s := d.left
	if side == Right {
		s = d.right
	}
	return d.area.y1 - float64((d.area.y1-d.area.y0)*s.at(v))
}

// compose lays the drawing out: frame first, then what is drawn, then the lettering where there is room left.
func (d *drawing) compose() {
	gap := d.text * 0.5 // between a tick and its number
	margin := func(s scale) float64 {
		w := 0.0
		for _, l := range s.labels {
			w = max(w, textWidth(l, d.text))
		}
		return math.Ceil(w + tick + gap)
	}
	d.area = box{x0: margin(d.left), x1: d.width - d.text}
	if !d.uses(Left) {
		d.area.x0 = d.text
	}
	if d.twoAxes {
		d.area.x1 = d.width - margin(d.right)
	}
	d.area.y0 = d.heads() + d.text*0.9
	d.area.y1 = d.area.y0 + d.plot
	d.placer = newPlacer(d.area.grown(-2))

	d.bands()
	d.frame()
	for i := range d.Series {
		d.series(i)
	}
	d.levelLines()
	d.markPoints()
	d.letter()
	d.keyRows()
	d.height = d.lowest + d.text*0.4
}

const tick = 6 // length of a tick, outside the plot

// put writes a text and remembers its box.
func (d *drawing) put(class, text string, x, y float64) {
	d.labels = append(d.labels, label{text, textBox(text, d.text, x, y)})
	d.lowest = max(d.lowest, y+descent*d.text)
	if class != "" {
		class = ` class="` + class + `"`
	}
	fmt.Fprintf(&d.over, `<text%s x="%s" y="%s">%s</text>`+"\n", class, number(x), number(y), escaper.Replace(text))
}

// putEnd writes a text that ends at x. Its box is as wide as the model says, so it may begin later than that.
func (d *drawing) putEnd(class, text string, x, y float64) {
	d.putAnchored(class, "end", text, x, y, 1)
}

// putMiddle writes a text centred on x.
func (d *drawing) putMiddle(class, text string, x, y float64) {
	d.putAnchored(class, "middle", text, x, y, 0.5)
}

func (d *drawing) putAnchored(class, anchor, text string, x, y, share float64) {
	start := x - share*textWidth(text, d.text)
	d.labels = append(d.labels, label{text, textBox(text, d.text, start, y)})
	d.lowest = max(d.lowest, y+descent*d.text)
	fmt.Fprintf(&d.over, `<text class="%s" text-anchor="%s" x="%s" y="%s">%s</text>`+"\n", class, anchor, number(x), number(y), escaper.Replace(text))
}

// heads letters the heads of the vertical axes in the row above them, each with a sample of its line if it has only
// one, and returns the y of the last baseline.
func (d *drawing) heads() float64 {
	const sample = 26
	y := d.text
	end := 0.0
	for _, side := range []Side{Left, Right} {
		on := d.on(side)
		if !d.uses(side) {
			continue
		}
		axis, scale := d.axis(side), d.left
		if side == Right {
			scale = d.right
		}
		text := headed(axis.Label, scale.unit)
		width := textWidth(text, d.text)
		sampled := len(on) == 1 && (d.twoAxes || !d.named(side))
		if sampled {
			width += sample + 6
		}
		if side == Left {
			x := 0.0
			if sampled {
				d.sample(d.class(on[0]), 1, y-d.text*0.34, sample)
				d.symbol(on[0], 1+sample/2, y-d.text*0.34)
				x = sample + 7
			}
			d.put("head", text, x, y)
			end = width
			continue
		}
		if end > 0 && end+d.text > d.width-width {
			y += d.text * 1.4
		}
		x := d.width
		if sampled {
			d.sample(d.class(on[0]), x-sample-1, y-d.text*0.34, sample)
			d.symbol(on[0], x-1-sample/2, y-d.text*0.34)
			x -= sample + 7
		}
		d.putEnd("head", text, x, y)
	}
	return y
}

// named reports whether the head of the axis is the name of its only series, which then needs no label of its own.
func (d *drawing) named(side Side) bool {
	on := d.on(side)
	return len(on) == 1 && d.Series[on[0]].Name == d.axis(side).Label && !d.twoAxes
}

// sample draws a piece of line of a class.
func (d *drawing) sample(class string, x, y, length float64) {
	fmt.Fprintf(&d.lines, `<path class="%s" d="M%s %sh%s"/>`+"\n", class, number(x), number(y), number(length))
}

// class is the class of a series: its kind, and its place among those of its kind.
func (d *drawing) class(i int) string {
	s := d.Series[i]
	class := "line " + []string{"measured", "computed", "quoted"}[s.Kind] + fmt.Sprintf(" nth-%d", d.nth(i)+1)
	switch s.Shape {
	case Dotted:
		class += " fine"
	case Loose:
		class += " none"
	}
	return class
}

// nth counts the series of the same kind before series i, modulo the number of line looks that charts.css knows.
func (d *drawing) nth(i int) int {
	n := 0
	for _, s := range d.Series[:i] {
		if s.Kind == d.Series[i].Kind {
			n++
		}
	}
	return n % looks
}

const looks = 4

// frame draws the axes with their ticks and numbers.
func (d *drawing) frame() {
	a := d.area
	var rules, ticks strings.Builder
	gap := d.text * 0.5
	grid := Left
	if !d.uses(Left) {
		grid = Right
	}
	for _, side := range []Side{Left, Right} {
		if !d.uses(side) {
			continue
		}
		s, edge, away := d.left, a.x0, -1.0
		if side == Right {
			s, edge, away = d.right, a.x1, 1
		}
		for i, v := range s.ticks {
			y := d.py(side, v)
			fmt.Fprintf(&ticks, "M%s %sh%s", number(edge), number(y), number(away*tick))
			if side == grid && y < a.y1-1 {
				fmt.Fprintf(&rules, "M%s %sH%s", number(a.x0), number(y), number(a.x1))
			}
			if side == Left {
				d.putEnd("number", s.labels[i], edge-tick-gap*0.5, y+d.text*0.35)
			} else {
				d.putEnd("number", s.labels[i], d.width-1, y+d.text*0.35)
			}
		}
		fmt.Fprintf(&ticks, "M%s %sV%s", number(edge), number(a.y0), number(a.y1))
	}
	fmt.Fprintf(&ticks, "M%s %sH%s", number(a.x0), number(a.y1), number(a.x1))
	base := a.y1 + tick + d.text
	last := math.Inf(-1)
	for i, v := range d.x.ticks {
		x := d.px(v)
		fmt.Fprintf(&ticks, "M%s %sv%s", number(x), number(a.y1), number(tick))
		half := textWidth(d.x.labels[i], d.text) / 2
		if x-half < last+2 || x+half > d.width+half*0.4 { // a number that would run into its neighbour, or off the sheet
			continue
		}
		d.putMiddle("number", d.x.labels[i], x, base)
		last = x + half
	}
	d.putEnd("head", headed(d.X.Label, d.x.unit), a.x1, base+d.text*1.35)
	if rules.Len() > 0 {
		fmt.Fprintf(&d.under, `<path class="grid" d="%s"/>`+"\n", rules.String())
	}
	fmt.Fprintf(&d.under, `<path class="axis" d="%s"/>`+"\n", ticks.String())
}

// bands hatches the spans.
func (d *drawing) bands() {
	if len(d.Bands) == 0 {
		return
	}
	fmt.Fprintf(&d.under, `<defs><pattern id="%s-hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch" d="M0 0V7"/></pattern></defs>`+"\n", d.id)
	for _, b := range d.Bands {
		x0, x1, seen := d.span(b)
		if !seen {
			continue
		}
		fmt.Fprintf(&d.under, `<rect class="band" x="%s" y="%s" width="%s" height="%s" fill="url(#%s-hatch)"/>`+"\n",
			number(x0), number(d.area.y0), number(max(x1-x0, 1)), number(d.plot), d.id)
		fmt.Fprintf(&d.under, `<path class="edge" d="M%s %sv%sM%s %sv%s"/>`+"\n",
			number(x0), number(d.area.y0), number(d.plot), number(max(x1, x0+1)), number(d.area.y0), number(d.plot))
	}
}

// span is where a band lies on the drawing; seen is false if it lies outside.
func (d *drawing) span(b Band) (x0, x1 float64, seen bool) {
	from, to := max(b.From, d.x.min), min(b.To, d.x.max)
	return d.px(from), d.px(to), from <= to
}

// write puts the parts together.
func (d *drawing) write(out *bytes.Buffer) {
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" class="chart-drawing chart-%s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %s-desc" fill="none" stroke="currentColor" font-family="sans-serif" font-size="%s">`+"\n",
		d.name, number(d.width), number(math.Ceil(d.height)), d.id, d.id, number(d.text))
	fmt.Fprintf(out, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", d.id, escaper.Replace(d.Title), d.id, escaper.Replace(d.Alt))
	out.Write(d.under.Bytes())
	a := d.area
	fmt.Fprintf(out, `<clipPath id="%s-plot"><rect x="%s" y="%s" width="%s" height="%s"/></clipPath>`+"\n",
		d.id, number(a.x0), number(a.y0-2), number(a.x1-a.x0), number(a.y1-a.y0+4))
	out.Write(d.lines.Bytes())
	out.WriteString(`<g fill="currentColor" stroke="none">` + "\n")
	out.Write(d.over.Bytes())
	out.WriteString("</g>\n</svg>\n")
}
