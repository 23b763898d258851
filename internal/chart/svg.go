package chart

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"voltwright/internal/svg"
)

// sheet is one of the two drawings that a still consists of: the wide one for a desk or for paper, the narrow one for
// a telephone. A style sheet shows the one that fits, so that the lettering has about the same size on both.
type sheet struct {
	name         string // class and part of the ids
	width        float64
	text         float64 // size of the lettering
	alone        float64 // height of the upper panel if it is alone
	upper, lower float64 // heights of two panels
	points       int     // points drawn of each series, at most about
	ticks        int     // along x that there is room for
}

var sheets = [2]sheet{
	{name: "wide", width: 720, text: 14, alone: 270, upper: 230, lower: 105, points: 600, ticks: 9},
	{name: "narrow", width: 360, text: 13, alone: 230, upper: 200, lower: 95, points: 320, ticks: 5},
}

// ticksIn is the number of ticks along y that a panel has room for.
func ticksIn(height float64) int { return max(2, int(height/42)) }

// SVG returns the still picture: two svg elements, the wide drawing and the narrow one, for charts.css to choose from.
// They carry no style: colours, line widths and dashes come from classes, and without a style sheet all is drawn in
// the colour of the text around it. Same plot, same bytes, on every machine.
func (p Plot) SVG() ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	for _, s := range sheets {
		compose(p, s).write(&out)
	}
	return out.Bytes(), nil
}

// drawing is one sheet on the way: the parts in the order in which they are painted.
type drawing struct {
	Plot   // its series thinned for the sheet
	sheet  sheet
	id     string
	panel  [2]box
	x      scale
	y      [2]scale
	height float64

	strokes [][][]dot // of each series, the unbroken lines
	placer  *placer
	labels  []label // every text with its box
	places  places
	keys    []key
	lowest  float64 // y under the last line of text

	under, lines, over bytes.Buffer
}

// label is a text that was put on the drawing.
type label struct {
	text string
	box  box
}

// key is a label that found no room and is written under the drawing, with a sample of what it names.
type key struct {
	class, text string
	number      int // by which it is found on the drawing, else 0
}

const tick = 6 // length of a tick, outside the panel

// compose lays the plot out on a sheet: frame first, then what is drawn, then the lettering where there is room left.
func compose(p Plot, s sheet) *drawing {
	d := &drawing{Plot: p, sheet: s, id: p.ID + "-" + s.name, placer: newPlacer()}
	heights := [2]float64{s.alone, 0}
	if p.uses(Lower) {
		heights = [2]float64{s.upper, s.lower}
	}
	d.x = p.scaleX(s.ticks)
	left := 0.0
	for _, k := range p.panels() {
		d.y[k] = p.scaleY(k, ticksIn(heights[k]))
		for _, l := range d.y[k].labels {
			left = max(left, math.Ceil(svg.TextWidth(l, s.text)+tick+s.text*0.3))
		}
	}
	d.Series = make([]Series, len(p.Series))
	for i, series := range p.Series {
		d.Series[i] = series.thinned(s.points)
	}

	y := s.text * 2
	if d.namesBands() {
		y += s.text * 1.2
	}
	for _, b := range p.Bands {
		if b.From <= d.x.max && b.To >= d.x.min {
			y += bandClear + bandThick
			break
		}
	}
	for _, k := range p.panels() {
		if k == Lower {
			y += s.text * 2.6
		}
		d.panel[k] = box{left, y, s.width - s.text, y + heights[k]}
		y += heights[k]
	}

	for i := range d.Series {
		d.strokes = append(d.strokes, d.strokesOf(d.Series[i]))
	}
	d.bands()
	for _, k := range p.panels() {
		d.frame(k)
	}
	d.numbersBelow()
	for i := range d.Series {
		d.series(i)
	}
	d.levelLines()
	d.markPoints()
	d.letter()
	d.keyRows()
	d.height = d.lowest + s.text*0.4
	return d
}

func (d *drawing) px(v float64) float64 {
	return d.panel[0].x0 + float64((d.panel[0].x1-d.panel[0].x0)*d.x.at(v))
}

func (d *drawing) py(k Panel, v float64) float64 {
	return d.panel[k].y1 - float64((d.panel[k].y1-d.panel[k].y0)*d.y[k].at(v))
}

// put writes a text and remembers its box.
func (d *drawing) put(class, text string, x, y float64, hung anchor) {
	d.labels = append(d.labels, label{text, textBox(text, d.sheet.text, x, y, hung)})
	d.lowest = max(d.lowest, y+svg.Descent*d.sheet.text)
	at := ""
	if hung != begins {
		at = ` text-anchor="` + hung.word() + `"`
	}
	fmt.Fprintf(&d.over, `<text class="%s"%s x="%s" y="%s">%s</text>`+"\n", class, at, svg.Number(x), svg.Number(y), svg.Escape(text))
}

// align is the name of the anchor in the chart engine.
func (a anchor) align() string {
	switch a {
	case middle:
		return "center"
	case ends:
		return "right"
	}
	return "left"
}

// word is the name of the anchor in SVG.
func (a anchor) word() string {
	switch a {
	case middle:
		return "middle"
	case ends:
		return "end"
	}
	return "start"
}

// frame draws the vertical axis of a panel with its head, its ticks and their numbers, and the base line.
func (d *drawing) frame(k Panel) {
	a := d.panel[k]
	size := d.sheet.text
	head := a.y0 - size
	if k == Upper {
		head = size
	}
	d.put("c-head", headed(d.axis(k).Label, d.y[k].unit), 0, head, begins)
	var rules, lines strings.Builder
	for i, v := range d.y[k].ticks {
		y := d.py(k, v)
		fmt.Fprintf(&lines, "M%s %sh-%d", svg.Number(a.x0), svg.Number(y), tick)
		if y < a.y1-1 {
			fmt.Fprintf(&rules, "M%s %sH%s", svg.Number(a.x0), svg.Number(y), svg.Number(a.x1))
		}
		d.put("c-number", d.y[k].labels[i], a.x0-tick-size*0.25, y+size*0.35, ends)
	}
	fmt.Fprintf(&lines, "M%s %sV%sH%s", svg.Number(a.x0), svg.Number(a.y0), svg.Number(a.y1), svg.Number(a.x1))
	for _, v := range d.x.ticks {
		fmt.Fprintf(&lines, "M%s %sv%d", svg.Number(d.px(v)), svg.Number(a.y1), tick)
	}
	if rules.Len() > 0 {
		fmt.Fprintf(&d.under, `<path class="c-grid" d="%s"/>`+"\n", rules.String())
	}
	fmt.Fprintf(&d.under, `<path class="c-axis" d="%s"/>`+"\n", lines.String())
}

// numbersBelow letters the x axis under the lowest panel.
func (d *drawing) numbersBelow() {
	panels := d.panels()
	a := d.panel[panels[len(panels)-1]]
	size := d.sheet.text
	base := a.y1 + tick + size
	last := math.Inf(-1)
	for i, v := range d.x.ticks {
		x := d.px(v)
		half := svg.TextWidth(d.x.labels[i], size) / 2
		if x-half < last+3 || x+half > d.sheet.width { // it would run into its neighbour, or off the sheet
			continue
		}
		d.put("c-number", d.x.labels[i], x, base, middle)
		last = x + half
	}
	d.put("c-head", headed(d.X.Label, d.x.unit), a.x1, base+size*1.35, ends)
}

// The strip of bands over the upper panel: what is drawn in the panels is not shaded.
const (
	bandThick = 6.
	bandClear = 2. // over the panel
)

// bands draws the spans as a strip over the upper panel.
func (d *drawing) bands() {
	var path strings.Builder
	y := d.panel[Upper].y0 - bandClear - bandThick
	for _, b := range d.Bands {
		if x0, x1, seen := d.span(b); seen {
			fmt.Fprintf(&path, "M%s %sH%sv%sH%sZ", svg.Number(x0), svg.Number(y), svg.Number(max(x1, x0+1)), svg.Number(bandThick), svg.Number(x0))
		}
	}
	if path.Len() > 0 {
		fmt.Fprintf(&d.under, `<path class="c-stop" d="%s" fill="currentColor" stroke="none"/>`+"\n", path.String())
	}
}

// span is where a band lies on the drawing; seen is false if it lies outside.
func (d *drawing) span(b Band) (x0, x1 float64, seen bool) {
	from, to := max(b.From, d.x.min), min(b.To, d.x.max)
	return d.px(from), d.px(to), from <= to
}

// namesBands reports whether a band with a name is to be seen.
func (d *drawing) namesBands() bool {
	for _, b := range d.Bands {
		if b.Label != "" && b.From <= d.x.max && b.To >= d.x.min {
			return true
		}
	}
	return false
}

// write puts the parts together.
func (d *drawing) write(out *bytes.Buffer) {
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" class="chart-drawing chart-%s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title" aria-describedby="%s-desc" fill="none" stroke="currentColor" font-family="sans-serif" font-size="%s">`+"\n",
		d.sheet.name, svg.Number(d.sheet.width), svg.Number(math.Ceil(d.height)), d.id, d.id, svg.Number(d.sheet.text))
	fmt.Fprintf(out, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", d.id, svg.Escape(d.Title), d.id, svg.Escape(d.Alt))
	out.Write(d.under.Bytes())
	for _, k := range d.panels() {
		a := d.panel[k]
		fmt.Fprintf(out, `<clipPath id="%s-%d"><rect x="%s" y="%s" width="%s" height="%s"/></clipPath>`+"\n",
			d.id, k, svg.Number(a.x0), svg.Number(a.y0-2), svg.Number(a.x1-a.x0+1), svg.Number(a.y1-a.y0+4))
	}
	out.Write(d.lines.Bytes())
	out.WriteString(`<g fill="currentColor" stroke="none">` + "\n")
	out.Write(d.over.Bytes())
	out.WriteString("</g>\n</svg>\n")
}
