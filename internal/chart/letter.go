package chart

import (
	"fmt"
	"math"

	"voltwright/internal/svg"
)

// places are where the labels of a drawing went, for the chart engine to put them there too: nil for one that found
// no room in the plot.
type places struct {
	Series []*namePlace  `json:"series"`
	Marks  []*markPlace  `json:"marks"`
	Levels []*levelPlace `json:"levels"`
	Bands  []*bandPlace  `json:"bands"` // of those to be seen
}

// namePlace is the anchor of a name, in the values of the axes.
type namePlace struct {
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
	Align string  `json:"align"`
}

// markPlace is the anchor of a label relative to its mark, in units of the drawing.
type markPlace struct {
	DX    float64 `json:"dx"`
	DY    float64 `json:"dy"`
	Align string  `json:"align"`
}

// bandPlace is the part of its band, from 0 to 1, above which the anchor of a name stands.
type bandPlace struct {
	At    float64 `json:"at"`
	Align string  `json:"align"`
}

// levelPlace is at which end of a level its name stands, and on which side of it.
type levelPlace struct {
	At string `json:"at"` // "Start", "Middle" or "End"
	On string `json:"on"` // "Top" or "Bottom"
}

// Limits of cost above which a label is better written under the drawing.
const (
	markLimit   = 260
	nameLimit   = 120
	aside       = 14 // a label farther than this from its mark gets a leader
	otherNearer = 60 // cost of a name that stands nearer to another line than to its own
)

// letter places the labels, the least movable first.
func (d *drawing) letter() {
	for _, l := range d.Lines {
		d.places.Levels = append(d.places.Levels, d.letterLevel(l))
	}
	for _, m := range d.Marks {
		d.places.Marks = append(d.places.Marks, d.letterMark(m))
	}
	for i, s := range d.Series {
		var place *namePlace
		if d.needsName(i) {
			place = d.letterName(i, s)
		}
		d.places.Series = append(d.places.Series, place)
	}
	d.letterBands()
}

// needsName reports whether the head of its axis does not name the series already.
func (p Plot) needsName(i int) bool {
	s := p.Series[i]
	return len(p.on(s.Panel)) > 1 || s.Name != p.axis(s.Panel).Label
}

// room is where the labels of a panel may stand.
func (d *drawing) room(k Panel) box { return d.panel[k].grown(-2) }

func (d *drawing) letterLevel(l Level) *levelPlace {
	y, seen := d.levelAt(l)
	if l.Label == "" || !seen {
		return nil
	}
	size := d.sheet.text
	a := d.panel[l.Panel]
	width := svg.TextWidth(l.Label, size)
	over, under := y-size*0.42, y+size*1.08
	spots := []spot{{a.x1 - 6, over, ends, 0}, {a.x1 - 6, under, ends, 3}, {a.x0 + 6, over, begins, 2}, {a.x0 + 6, under, begins, 5}}
	for x := a.x1 - 18 - width/2; x > a.x0+width/2; x -= 12 {
		cost := 12 + 0.02*(a.x1-x)
		spots = append(spots, spot{x, over, middle, cost}, spot{x, under, middle, cost + 3})
	}
	s, ok := d.placer.place(l.Label, size, d.room(l.Panel), spots, math.Inf(1))
	if !ok {
		d.numberInstead("c-level", l.Label, l.Panel, spots)
		return nil
	}
	d.put("c-note", l.Label, s.x, s.y, s.hung)
	place := &levelPlace{At: map[anchor]string{begins: "Start", middle: "Middle", ends: "End"}[s.hung], On: "Top"}
	if s.y > y {
		place.On = "Bottom"
	}
	return place
}

// letterMark puts the label of a mark around it, with a thin leader if it has to stand off.
func (d *drawing) letterMark(m Mark) *markPlace {
	x, y, seen := d.markAt(m)
	if !seen || m.Label == "" {
		return nil
	}
	size := d.sheet.text
	spots := around(x, y, size)
	s, ok := d.placer.place(m.Label, size, d.room(m.Panel), spots, markLimit)
	if !ok {
		d.numberInstead("c-mark", m.Label, m.Panel, spots)
		return nil
	}
	d.put("c-note", m.Label, s.x, s.y, s.hung)
	b := textBox(m.Label, size, s.x, s.y, s.hung)
	tx, ty := min(max(x, b.x0), b.x1), min(max(y, b.y0), b.y1)
	if far := math.Hypot(tx-x, ty-y); far > aside {
		fx, fy := x+float64(5/far*(tx-x)), y+float64(5/far*(ty-y))
		fmt.Fprintf(&d.lines, `<path class="c-leader" d="M%s %sL%s %s"/>`+"\n", svg.Number(fx), svg.Number(fy), svg.Number(tx), svg.Number(ty))
		d.placer.draw(fx, fy, tx, ty)
	}
	return &markPlace{DX: roundTo(s.x-x, 0), DY: roundTo(s.y-y, 0), Align: s.hung.align()}
}

// numberInstead puts a number where a label found no room, and the label under the drawing with that number.
func (d *drawing) numberInstead(class, text string, k Panel, spots []spot) {
	number := 1
	for _, other := range d.keys {
		if other.number > 0 {
			number++
		}
	}
	if s, ok := d.placer.place(fmt.Sprint(number), d.sheet.text, d.room(k), spots, math.Inf(1)); ok {
		d.put("c-note", fmt.Sprint(number), s.x, s.y, s.hung)
	}
	d.keys = append(d.keys, key{class: class, text: text, number: number})
}

// around proposes places in eight directions and growing distances about a point.
func around(x, y, size float64) []spot {
	var spots []spot
	for _, r := range []float64{9, 16, 26, 38, 52, 70, 92, 120} {
		for k, to := range [][2]float64{{1, -0.5}, {1, 0.5}, {-1, -0.5}, {-1, 0.5}, {0, -1}, {0, 1}, {1, 0}, {-1, 0}} {
			s := spot{x: x + float64(r*to[0]), y: y + float64(r*to[1]), cost: r + float64(k)*0.5}
			switch {
			case to[0] < 0:
				s.hung = ends
			case to[0] == 0:
				s.hung = middle
			}
			switch {
			case to[1] < 0:
				s.y -= size * svg.Descent
			case to[1] > 0:
				s.y += size * svg.Ascent
			default:
				s.y += size * 0.32
			}
			spots = append(spots, s)
		}
	}
	return spots
}

// letterName puts the name of a series beside its line, rather to the right, and nearer to it than to any other.
func (d *drawing) letterName(i int, s Series) *namePlace {
	size := d.sheet.text
	a := d.panel[s.Panel]
	var spots []spot
	for x := a.x1 - 8; x > a.x0+8; x -= 8 {
		y, ok := d.lineAt(i, x)
		if !ok {
			continue
		}
		cost := (a.x1 - x) * 0.05
		for _, off := range []float64{5, 10, 18, 28} {
			spots = append(spots,
				spot{x, y - off - size*svg.Descent, middle, off + cost}, spot{x, y + off + size*svg.Ascent, middle, off + cost + 1},
				spot{x - off, y - off - size*svg.Descent, ends, off + cost}, spot{x + off, y - off - size*svg.Descent, begins, off + cost},
				spot{x - off, y + off + size*svg.Ascent, ends, off + cost}, spot{x + off, y + off + size*svg.Ascent, begins, off + cost})
		}
	}
	if s.Shape == Loose || len(spots) == 0 {
		for k := 0; k < len(s.X); k += 1 + len(s.X)/40 {
			spots = append(spots, around(d.px(s.X[k]), d.py(s.Panel, s.Y[k]), size)[:16]...)
		}
	}
	for k := range spots {
		spots[k].cost += d.mistaken(i, s.Name, spots[k])
	}
	at, ok := d.placer.place(s.Name, size, d.room(s.Panel), spots, nameLimit)
	if !ok {
		d.keys = append(d.keys, key{class: d.class(i), text: s.Name})
		return nil
	}
	d.put(nameClass(d.class(i)), s.Name, at.x, at.y, at.hung)
	x := d.x.min + float64((at.x-a.x0)/(a.x1-a.x0)*(d.x.max-d.x.min))
	y := d.y[s.Panel].max - float64((at.y-a.y0)/(a.y1-a.y0)*(d.y[s.Panel].max-d.y[s.Panel].min))
	return &namePlace{X: roundTo(x, decimalsFor(d.x)), Y: roundTo(y, decimalsFor(d.y[s.Panel])), Align: at.hung.align()}
}

// mistaken is the cost of a name at a spot where a reader could take it for that of another line.
func (d *drawing) mistaken(i int, text string, s spot) float64 {
	b := textBox(text, d.sheet.text, s.x, s.y, s.hung)
	x, y := (b.x0+b.x1)/2, (b.y0+b.y1)/2
	own, ok := d.lineAt(i, x)
	if !ok {
		return otherNearer / 2
	}
	cost := 0.0
	for k := range d.Series {
		if k == i || d.Series[k].Panel != d.Series[i].Panel {
			continue
		}
		if other, ok := d.lineAt(k, x); ok && math.Abs(other-y) < math.Abs(own-y)+6 {
			cost += otherNearer
		}
	}
	return cost
}

// letterBands names the bands in a row above the upper panel; where bands of one name stand close, one name does.
func (d *drawing) letterBands() {
	size := d.sheet.text
	foot := d.panel[Upper].y0 - bandClear - bandThick
	row := box{d.panel[Upper].x0 - 4, foot - size*1.6, d.sheet.width, foot} // clear of the numbers
	base := foot - size*0.45
	named := map[string]bool{}
	for _, b := range d.Bands {
		x0, x1, seen := d.span(b)
		if !seen {
			continue
		}
		d.places.Bands = append(d.places.Bands, nil)
		if b.Label == "" {
			continue
		}
		spots := []spot{{(x0 + x1) / 2, base, middle, 0}, {x1, base, ends, 1}, {x0, base, begins, 1}}
		if s, ok := d.placer.place(b.Label, size, row, spots, math.Inf(1)); ok {
			d.put("c-note", b.Label, s.x, s.y, s.hung)
			d.places.Bands[len(d.places.Bands)-1] = &bandPlace{At: float64(s.hung), Align: s.hung.align()}
			named[b.Label] = true
		}
	}
	for _, b := range d.Bands {
		if _, _, seen := d.span(b); seen && b.Label != "" && !named[b.Label] {
			named[b.Label] = true
			d.keys = append(d.keys, key{class: "c-band", text: b.Label})
		}
	}
}

// keyRows writes what found no room under the drawing.
func (d *drawing) keyRows() {
	const sample = 26
	size := d.sheet.text
	y := d.lowest + size*0.2
	for _, k := range d.keys {
		y += size * 1.3
		mid := y - size*0.34
		switch {
		case k.number > 0:
			d.put("c-note", fmt.Sprint(k.number), sample/2, y, middle)
		case k.class == "c-band":
			fmt.Fprintf(&d.lines, `<rect class="c-stop" x="1" y="%s" width="%d" height="%s" fill="currentColor" stroke="none"/>`+"\n", svg.Number(mid-bandThick/2), sample, svg.Number(bandThick))
		default:
			fmt.Fprintf(&d.lines, `<path class="%s" d="M1 %sh%d"/>`+"\n", k.class, svg.Number(mid), sample)
		}
		for n, line := range svg.Wrap(k.text, size, d.sheet.width-sample-10) {
			if n > 0 {
				y += size * 1.25
			}
			d.put("c-note", line, sample+8, y, begins)
		}
	}
}
