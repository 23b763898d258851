package chart

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/svg"
)

// dot is a place on the drawing.
type dot struct{ x, y float64 }

// strokesOf turns a series into the unbroken lines that are drawn of it.
func (d *drawing) strokesOf(s Series) [][]dot {
	var all [][]dot
	var line []dot
	next := 0
	for i := range s.X {
		if next < len(s.Breaks) && s.Breaks[next] == i {
			all, line = append(all, line), nil
			next++
		}
		x, y := d.px(s.X[i]), d.py(s.Panel, s.Y[i])
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
	for _, line := range d.strokes[i] {
		if s.Shape == Loose {
			break
		}
		path.WriteString(stroke(line))
		for k := 1; k < len(line); k++ {
			d.placer.draw(line[k-1].x, line[k-1].y, line[k].x, line[k].y)
		}
		if len(line) == 1 { // a lone point between two gaps is drawn as a short dash
			path.WriteString("h1")
		}
	}
	if path.Len() > 0 {
		fmt.Fprintf(&d.lines, `<path class="%s" clip-path="url(#%s-%d)" d="%s"/>`+"\n", d.class(i), d.id, s.Panel, path.String())
	}
	d.symbols(i)
}

// looks is the number of looks that the lines of one kind have in charts.css.
const looks = 4

// class is the class of a series: its kind, and its place among those of its kind in its panel.
func (d *drawing) class(i int) string {
	s := d.Series[i]
	class := "c-line " + []string{"c-measured", "c-computed", "c-quoted"}[s.Kind] + fmt.Sprintf(" c-nth-%d", d.nth(i)+1)
	switch {
	case s.Shape == Dotted || s.Shape == Joined && d.dense(s):
		class += " c-fine"
	case s.Shape == Loose:
		class += " c-none"
	}
	return class
}

// nth counts the series of the same kind and panel before series i, modulo looks.
func (d *drawing) nth(i int) int {
	n := 0
	for _, s := range d.Series[:i] {
		if s.Kind == d.Series[i].Kind && s.Panel == d.Series[i].Panel {
			n++
		}
	}
	return n % looks
}

// dense reports whether a line goes up and down so often that a thick one would fill its panel.
func (d *drawing) dense(s Series) bool {
	way := 0.0
	for i := 1; i < len(s.Y); i++ {
		way += math.Abs(s.Y[i] - s.Y[i-1])
	}
	return way > 12*(d.y[s.Panel].max-d.y[s.Panel].min)
}

// symbols draws the symbols of a series: at every point if it is dotted or loose, else a few along the line if it
// needs them to be told from others of its kind.
func (d *drawing) symbols(i int) {
	s := d.Series[i]
	if s.Shape == Dotted || s.Shape == Loose {
		for k := range s.X {
			if s.X[k] < d.x.min || s.X[k] > d.x.max {
				continue
			}
			x, y := d.px(s.X[k]), d.py(s.Panel, s.Y[k])
			d.symbol(i, x, y)
			d.placer.draw(x-3, y, x+3, y)
			d.placer.draw(x, y-3, x, y+3)
		}
		return
	}
	if d.nth(i) < 2 { // the first is thick, the second thin
		return
	}
	const every = 96
	for x := d.panel[0].x0 + every*(0.23*float64(d.nth(i))-0.1); x < d.panel[0].x1-8; x += every {
		if y, ok := d.lineAt(i, x); ok {
			d.symbol(i, x, y)
		}
	}
}

// lineAt is the y of series i at x on the drawing; ok is false in a gap and outside the panel.
func (d *drawing) lineAt(i int, x float64) (y float64, ok bool) {
	a := d.panel[d.Series[i].Panel]
	for _, line := range d.strokes[i] {
		k, _ := slices.BinarySearchFunc(line, x, func(p dot, x float64) int { return cmp.Compare(p.x, x) })
		if k == 0 || k == len(line) {
			continue
		}
		p, q := line[k-1], line[k] // p.x < x ≤ q.x
		y := p.y + float64((x-p.x)/(q.x-p.x)*(q.y-p.y))
		return y, y >= a.y0 && y <= a.y1
	}
	return 0, false
}

// outlines are the symbols, about 7 units wide, in the order in which the series of a kind take them; symbolNames
// are their names in the chart engine.
var (
	outlines = [looks]string{
		"m-3.5 0a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0-7 0z",
		"m-3.2-3.2h6.4v6.4h-6.4z",
		"m0-4.2l4 7h-8z",
		"m0-4.4l4.4 4.4l-4.4 4.4l-4.4-4.4z",
	}
	symbolNames = [looks]string{"circle", "rect", "triangle", "diamond"}
)

// symbol draws the symbol of series i at a place.
func (d *drawing) symbol(i int, x, y float64) {
	fmt.Fprintf(&d.lines, `<path class="%s" d="M%s %s%s"/>`+"\n", symbolClass(d.class(i)), svg.Number(x), svg.Number(y), outlines[d.nth(i)])
}

// symbolClass is the class of the symbols of a line.
func symbolClass(line string) string {
	return strings.NewReplacer("c-line", "c-symbol", " c-fine", "", " c-none", "").Replace(line)
}

// nameClass is the class of the name of a line.
func nameClass(line string) string {
	return strings.NewReplacer("c-line", "c-name", " c-fine", "", " c-none", "").Replace(line)
}

// levelLines draws the horizontal levels.
func (d *drawing) levelLines() {
	for _, l := range d.Lines {
		if y, seen := d.levelAt(l); seen {
			a := d.panel[l.Panel]
			fmt.Fprintf(&d.lines, `<path class="c-level" d="M%s %sH%s"/>`+"\n", svg.Number(a.x0), svg.Number(y), svg.Number(a.x1))
			d.placer.draw(a.x0, y, a.x1, y)
		}
	}
}

func (d *drawing) levelAt(l Level) (y float64, seen bool) {
	y = d.py(l.Panel, l.Value)
	a := d.panel[l.Panel]
	return y, y > a.y0-0.01 && y < a.y1+0.01
}

// markPoints draws the points that are pointed out, and keeps labels off them.
func (d *drawing) markPoints() {
	for _, m := range d.Marks {
		if x, y, seen := d.markAt(m); seen {
			d.placer.reserve(box{x - 5, y - 5, x + 5, y + 5})
			fmt.Fprintf(&d.lines, `<circle class="c-mark" cx="%s" cy="%s" r="4"/>`+"\n", svg.Number(x), svg.Number(y))
		}
	}
}

func (d *drawing) markAt(m Mark) (x, y float64, seen bool) {
	x, y = d.px(m.X), d.py(m.Panel, m.Y)
	return x, y, box{x, y, x, y}.within(d.panel[m.Panel].grown(0.01))
}
