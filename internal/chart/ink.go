package chart

import (
	"fmt"
	"math"
	"strings"
)

// dot is a place on the drawing.
type dot struct{ x, y float64 }

// strokes turns a series into the unbroken lines that are drawn of it.
func (d *drawing) strokes(s Series) [][]dot {
	var all [][]dot
	var line []dot
	next := 0
	for i := range s.X {
		if next < len(s.Breaks) && s.Breaks[next] == i {
			all, line = append(all, line), nil
			next++
		}
		x, y := d.px(s.X[i]), d.py(s.Axis, s.Y[i])
		if s.Shape == Stepped && len(line) > 0 {
			line = append(line, dot{x, line[len(line)-1].y})
		}
		line = append(line, dot{x, y})
	}
	return append(all, line)
}

// series draws one series and notes where its ink is.
func (d *drawing) series(i int) {
	s := d.Series[i]
	var path strings.Builder
	for _, line := range d.strokes(s) {
		if s.Shape == Loose {
			break
		}
		before := ""
		for k, p := range line {
			here := number(p.x) + " " + number(p.y)
			switch {
			case k == 0:
				path.WriteString("M" + here)
			case here == before:
				continue
			default:
				path.WriteString(" " + here)
			}
			before = here
			if k > 0 {
				d.placer.draw(line[k-1].x, line[k-1].y, p.x, p.y)
			}
		}
		if len(line) == 1 { // a lone point between two gaps is drawn as a short dash
			path.WriteString("h1")
		}
	}
	if path.Len() > 0 {
		fmt.Fprintf(&d.lines, `<path class="%s" clip-path="url(#%s-plot)" d="%s"/>`+"\n", d.class(i), d.id, path.String())
	}
	d.symbols(i)
}

// symbols draws the symbols of a series: at every point if it is dotted, else a few along the line to tell it from
// the others of its kind.
func (d *drawing) symbols(i int) {
	s := d.Series[i]
	if s.Shape == Dotted || s.Shape == Loose {
		for k := range s.X {
			if s.X[k] < d.x.min || s.X[k] > d.x.max {
				continue
			}
			x, y := d.px(s.X[k]), d.py(s.Axis, s.Y[k])
			d.symbol(i, x, y)
			d.placer.draw(x-3, y, x+3, y)
			d.placer.draw(x, y-3, x, y+3)
		}
		return
	}
	if !d.needsSymbols(i) {
		return
	}
	const every = 96
	offset := every * (0.35 + 0.23*float64(d.nth(i)))
	for x := d.area.x0 + offset; x < d.area.x1-8; x += every {
		if y, ok := d.height1(s, x); ok {
			d.symbol(i, x, y)
		}
	}
}

// needsSymbols reports whether a joined series could be mistaken for another of its kind: from the third on.
func (d *drawing) needsSymbols(i int) bool { return d.nth(i) >= 2 }

// height1 is the y of the line at x on the drawing; ok is false in a gap.
func (d *drawing) height1(s Series, x float64) (y float64, ok bool) {
	for _, line := range d.strokes(s) {
		for k := 1; k < len(line); k++ {
			a, b := line[k-1], line[k]
			if x < a.x || x > b.x || a.x == b.x {
				continue
			}
			t := (x - a.x) / (b.x - a.x)
			y := a.y + float64(t*(b.y-a.y))
			return y, y >= d.area.y0 && y <= d.area.y1
		}
	}
	return 0, false
}

// shapes are the outlines of the symbols, about 7 units wide, in the order in which series of a kind take them.
var shapes = [looks]string{
	"m-3.5 0a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0-7 0z",
	"m-3.2-3.2h6.4v6.4h-6.4z",
	"m0-4.2l4 7h-8z",
	"m0-4.4l4.4 4.4l-4.4 4.4l-4.4-4.4z",
}

// symbol draws the symbol of series i, if it has one, at a place.
func (d *drawing) symbol(i int, x, y float64) {
	s := d.Series[i]
	if s.Shape != Dotted && s.Shape != Loose && !d.needsSymbols(i) {
		return
	}
	class := strings.Replace(strings.Replace(d.class(i), " fine", "", 1), " none", "", 1)
	fmt.Fprintf(&d.lines, `<path class="symbol %s" d="M%s %s%s"/>`+"\n",
		strings.TrimPrefix(class, "line "), number(x), number(y), shapes[d.nth(i)])
}

// levelLines draws the horizontal levels.
func (d *drawing) levelLines() {
	for _, l := range d.Lines {
		y := d.py(l.Axis, l.Value)
		if y < d.area.y0-0.01 || y > d.area.y1+0.01 {
			continue
		}
		fmt.Fprintf(&d.lines, `<path class="level" d="M%s %sH%s"/>`+"\n", number(d.area.x0), number(y), number(d.area.x1))
		d.placer.draw(d.area.x0, y, d.area.x1, y)
	}
}

// markPoints draws the points that are pointed out, and keeps labels off them.
func (d *drawing) markPoints() {
	for _, m := range d.Marks {
		if x, y, seen := d.spotOf(m); seen {
			d.placer.reserve(box{x - 5, y - 5, x + 5, y + 5})
			fmt.Fprintf(&d.lines, `<circle class="mark" cx="%s" cy="%s" r="4"/>`+"\n", number(x), number(y))
		}
	}
}

func (d *drawing) spotOf(m Mark) (x, y float64, seen bool) {
	x, y = d.px(m.X), d.py(m.Axis, m.Y)
	return x, y, d.area.grown(0.01).overlaps(box{x, y, x + 0.001, y + 0.001})
}

// Limits of cost above which a label is better written under the drawing.
const (
	markLimit   = 260
	seriesLimit = 120
	levelLimit  = 170
	bandLimit   = 110
)

// letter places the labels in the plot, the least movable first.
func (d *drawing) letter() {
	for _, l := range d.Lines {
		d.letterLevel(l)
	}
	for i, m := range d.Marks {
		d.letterMark(i, m)
	}
	for i, s := range d.Series {
		axis := d.axis(s.Axis)
		if len(d.on(s.Axis)) > 1 || s.Name != axis.Label {
			d.letterSeries(i, s)
		}
	}
	d.letterBands()
}

func (d *drawing) letterLevel(l Level) {
	y := d.py(l.Axis, l.Value)
	if l.Label == "" || y < d.area.y0-0.01 || y > d.area.y1+0.01 {
		return
	}
	width := textWidth(l.Label, d.text)
	var spots []spot
	for x := d.area.x1 - width - 6; x > d.area.x0+4; x -= 12 {
		cost := (d.area.x1 - width - x) * 0.08
		if left := (x - d.area.x0) * 0.08; left < cost { // either end is better than the middle
			cost = left + 2
		}
		spots = append(spots, spot{x, y - d.text*0.42, cost}, spot{x, y + d.text*1.1, cost + 3})
	}
	if s, ok := d.placer.place(l.Label, d.text, spots, levelLimit); ok {
		d.put("note", l.Label, s.x, s.y)
		return
	}
	d.keys = append(d.keys, key{class: "level", text: l.Label})
}

// letterMark puts the label of a mark around it, with a thin leader if it has to stand off.
func (d *drawing) letterMark(i int, m Mark) {
	x, y, seen := d.spotOf(m)
	if !seen || m.Label == "" {
		return
	}
	spots := around(x, y, textWidth(m.Label, d.text), d.text)
	s, ok := d.placer.place(m.Label, d.text, spots, markLimit)
	if !ok {
		number := len(d.keys) + 1
		text := fmt.Sprint(number)
		if s, ok := d.placer.place(text, d.text, around(x, y, textWidth(text, d.text), d.text), math.Inf(1)); ok {
			d.put("note", text, s.x, s.y)
		}
		d.keys = append(d.keys, key{class: "mark", text: m.Label, number: number})
		return
	}
	d.put("note", m.Label, s.x, s.y)
	b := textBox(m.Label, d.text, s.x, s.y)
	tx, ty := min(max(x, b.x0), b.x1), min(max(y, b.y0), b.y1)
	far := math.Hypot(tx-x, ty-y)
	if far < 14 {
		return
	}
	fx, fy := x+float64(5/far*(tx-x)), y+float64(5/far*(ty-y))
	fmt.Fprintf(&d.lines, `<path class="leader" d="M%s %sL%s %s"/>`+"\n", number(fx), number(fy), number(tx), number(ty))
	d.placer.draw(fx, fy, tx, ty)
}

// around proposes places for a label of a width in eight directions and growing distances about a point.
func around(x, y, width, size float64) []spot {
	var spots []spot
	for _, r := range []float64{9, 16, 26, 38, 52, 70, 92, 120} {
		for k, to := range [][2]float64{{1, -0.5}, {1, 0.5}, {-1, -0.5}, {-1, 0.5}, {0, -1}, {0, 1}, {1, 0}, {-1, 0}} {
			cx, cy := x+r*to[0], y+r*to[1]
			left := cx // the label begins at the point to its left
			switch {
			case to[0] < 0:
				left = cx - width
			case to[0] == 0:
				left = cx - width/2
			}
			base := cy + size*0.32
			switch {
			case to[1] < 0:
				base = cy - size*descent
			case to[1] > 0:
				base = cy + size*ascent
			}
			spots = append(spots, spot{left, base, r + float64(k)*0.5})
		}
	}
	return spots
}

// letterSeries puts the name of a series along its line, towards the right.
func (d *drawing) letterSeries(i int, s Series) {
	width := textWidth(s.Name, d.text)
	var spots []spot
	for x := d.area.x1 - 8; x > d.area.x0+8; x -= 8 {
		y, ok := d.height1(s, x)
		if !ok {
			continue
		}
		side := (d.area.x1 - x) * 0.05
		for _, off := range []float64{6, 12, 20} {
			spots = append(spots,
				spot{x - width/2, y - off - d.text*descent, off + side},
				spot{x - width/2, y + off + d.text*ascent, off + side + 1},
				spot{x - width - off, y - off - d.text*descent, off + side},
				spot{x + off, y - off - d.text*descent, off + side})
		}
	}
	if s.Shape == Loose || len(spots) == 0 {
		for k := range s.X {
			spots = append(spots, around(d.px(s.X[k]), d.py(s.Axis, s.Y[k]), width, d.text)[:16]...)
		}
	}
	if at, ok := d.placer.place(s.Name, d.text, spots, seriesLimit); ok {
		d.put("name "+strings.TrimPrefix(d.class(i), "line "), s.Name, at.x, at.y)
		return
	}
	d.keys = append(d.keys, key{class: d.class(i), text: s.Name})
}

// letterBands names the bands at the top of each; bands of one name are named once if there is room for no more.
func (d *drawing) letterBands() {
	named := map[string]bool{}
	for _, b := range d.Bands {
		x0, x1, seen := d.span(b)
		if !seen || b.Label == "" {
			continue
		}
		width := textWidth(b.Label, d.text)
		var spots []spot
		for _, row := range []float64{1.1, 2.3, 3.5, 4.7} {
			y := d.area.y0 + row*d.text
			low := d.area.y1 - (row-0.7)*d.text
			middle := spot{(x0 + x1 - width) / 2, y, row}
			if width > x1-x0 {
				middle.cost += 6
			}
			spots = append(spots, middle, spot{middle.x, low, middle.cost + 12},
				spot{x1 + 4, y, row + 10}, spot{x0 - 4 - width, y, row + 11})
		}
		if s, ok := d.placer.place(b.Label, d.text, spots, bandLimit); ok {
			d.put("note", b.Label, s.x, s.y)
			named[b.Label] = true
		}
	}
	for _, b := range d.Bands {
		if _, _, seen := d.span(b); seen && b.Label != "" && !named[b.Label] {
			named[b.Label] = true
			d.keys = append(d.keys, key{class: "band", text: b.Label})
		}
	}
}

// keyRows writes what found no room under the drawing.
func (d *drawing) keyRows() {
	const sample = 26
	y := d.lowest + d.text*0.5
	for _, k := range d.keys {
		y += d.text * 1.1
		mid := y - d.text*0.34
		switch {
		case k.number > 0:
			d.put("note", fmt.Sprint(k.number), 1+sample/2-d.text*0.3, y)
		case k.class == "band":
			fmt.Fprintf(&d.lines, `<rect class="band" x="1" y="%s" width="%d" height="10" fill="url(#%s-hatch)"/>`+"\n", number(mid-5), sample, d.id)
		default:
			d.sample(k.class, 1, mid, sample)
		}
		for _, line := range wrap(k.text, d.text, d.width-sample-10) {
			d.put("note", line, sample+8, y)
			y += d.text * 1.25
		}
		y -= d.text * 1.1
	}
}
