package chart

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"

	"voltwright/internal/svg"
)

// Bars is a drawing of horizontal bars about a centre line: what a quantity comes to when one input at a time is made
// less or more, the others left alone. It is a still only; what it shows is little enough for a table beside it.
//
// A bar is refused if it has no end, or an end that is not a finite number. What the package cannot catch: ends of
// different quantities on one axis.
type Bars struct {
	ID      string // as of a Plot
	Title   string
	Caption string
	Alt     string
	X       Axis    // of the quantity; Min and Max are not used
	Base    float64 // where the centre line stands
	Middle  string  // names the centre line: "as it is, 2 h 16 min"
	Items   []Bar   // from above
}

// Bar is one input.
type Bar struct {
	Name       string
	Less, More End
}

// End is what one side of a bar comes to.
type End struct {
	Change string // "−10 %"; empty: the bar has no such end
	Value  float64
	Words  string // the value as it is lettered: "2 h 32 min"
	None   bool   // there is no value; Words says so in a word or two
}

// Check returns what is wrong with the bars, all of it, or nil.
func (b Bars) Check() error {
	var errs []error
	bad := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	switch {
	case !identifier(b.ID):
		bad("bars: id %q must be a letter followed by letters, digits, '-' or '_'", b.ID)
	case b.Title == "" || b.Alt == "":
		bad("bars %q: have no title or are not described in words", b.ID)
	case b.X.Label == "" || b.X.Format > Clock:
		bad("bars %q: the axis has no label or an unknown format", b.ID)
	case !finite(b.Base):
		bad("bars %q: the centre line is at %v, which is no place", b.ID, b.Base)
	case len(b.Items) == 0:
		bad("bars %q: have no bar", b.ID)
	}
	for _, i := range b.Items {
		if i.Name == "" || i.Less.Change == "" && i.More.Change == "" {
			bad("bars %q: bar %q has no name or no end", b.ID, i.Name)
		}
		for _, e := range []End{i.Less, i.More} {
			if e.Change != "" && !e.None && !finite(e.Value) {
				bad("bars %q: bar %q ends at %v, which is no place", b.ID, i.Name, e.Value)
			}
		}
	}
	return errors.Join(errs...)
}

// SVG returns the wide drawing and the narrow one, as of a Plot. The error is that of Check.
func (b Bars) SVG() ([]byte, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	for _, s := range sheets {
		b.compose(s).write(&out)
	}
	return out.Bytes(), nil
}

// barDrawing is one sheet of bars on the way.
type barDrawing struct {
	Bars
	sheet  sheet
	id     string
	scale  scale
	left   float64 // of the field of bars
	right  float64
	y      float64 // under what is drawn so far
	labels []label

	under, lines, over bytes.Buffer
}

// Sizes of bars.
const (
	barThick = 14.
	barClear = 5. // between a bar's end and its lettering
)

// compose lays the bars out on a sheet. Each end is lettered outside the bar, on its own side of the centre line; two
// ends on one side are lettered there below each other.
func (b Bars) compose(s sheet) *barDrawing {
	d := &barDrawing{Bars: b, sheet: s, id: b.ID + "-" + s.name}
	lo, hi := b.Base, b.Base
	var gutters [2]float64
	for _, i := range b.Items {
		for side, lines := range d.sides(i) {
			for _, l := range lines {
				gutters[side] = max(gutters[side], svg.TextWidth(l, s.text))
			}
		}
		for _, e := range []End{i.Less, i.More} {
			if e.Change != "" && !e.None {
				lo, hi = min(lo, e.Value), max(hi, e.Value)
			}
		}
	}
	if lo == hi {
		lo, hi = lo-1, hi+1
	}
	d.left = d.nameColumn() + gutters[0] + barClear + 2
	d.right = s.width - gutters[1] - barClear - 2
	ticks := max(2, min(s.ticks, int((d.right-d.left)/(s.text*3.6))))
	if b.X.Format == Clock {
		d.scale = clockScale(lo, hi, ticks)
	} else {
		d.scale = numberScale(lo, hi, false, ticks)
		d.scale.unit = b.X.Unit
	}

	d.y = s.text * 1.1
	x := d.at(b.Base)
	half := svg.TextWidth(b.Middle, s.text) / 2
	d.put("c-note", b.Middle, min(max(x, half), s.width-half), d.y, middle)
	top := d.y + s.text*0.6
	d.y = top
	for _, i := range b.Items {
		d.bar(i)
	}
	d.foot(top)
	return d
}

// wide reports whether there is room for the names beside the bars.
func (d *barDrawing) wide() bool { return d.sheet.width > 500 }

// nameWidth is the widest that a name beside its bar may be.
const nameWidth = 178

func (d *barDrawing) nameColumn() float64 {
	if !d.wide() {
		return 0
	}
	widest := 0.0
	for _, i := range d.Items {
		for _, l := range svg.Wrap(i.Name, d.sheet.text, nameWidth) {
			widest = max(widest, svg.TextWidth(l, d.sheet.text))
		}
	}
	return widest + d.sheet.text
}

// sides are the lines of lettering to the left and to the right of a bar.
func (d *barDrawing) sides(i Bar) [2][]string {
	var out [2][]string
	for _, e := range []End{i.Less, i.More} {
		if e.Change == "" {
			continue
		}
		side := 0
		if !e.None && e.Value >= d.Base {
			side = 1
		}
		if d.wide() {
			out[side] = append(out[side], e.Change+": "+e.Words)
		} else {
			out[side] = append(out[side], e.Change, e.Words)
		}
	}
	return out
}

func (d *barDrawing) at(v float64) float64 {
	return d.left + float64((d.right-d.left)*d.scale.at(v))
}

func (d *barDrawing) put(class, text string, x, y float64, hung anchor) {
	if text == "" {
		return
	}
	d.labels = append(d.labels, label{text, textBox(text, d.sheet.text, x, y, hung)})
	at := ""
	if hung != begins {
		at = ` text-anchor="` + hung.word() + `"`
	}
	fmt.Fprintf(&d.over, `<text class="%s"%s x="%s" y="%s">%s</text>`+"\n", class, at, svg.Number(x), svg.Number(y), svg.Escape(text))
}

// bar draws one bar with its name and its ends.
func (d *barDrawing) bar(i Bar) {
	size := d.sheet.text
	line := size * 1.25
	sides := d.sides(i)
	height := max(barThick+size*0.5, float64(max(len(sides[0]), len(sides[1])))*line)
	var name []string
	if d.wide() {
		name = svg.Wrap(i.Name, size, nameWidth)
		height = max(height, float64(len(name))*line)
	} else {
		d.y += line
		d.put("c-note", i.Name, 0, d.y-size*0.35, begins)
	}
	mid := d.y + height/2
	column := func(class string, lines []string, x float64, hung anchor) {
		y := mid - float64(len(lines))*line/2 + line*0.5 + size*0.34
		for _, l := range lines {
			d.put(class, l, x, y, hung)
			y += line
		}
	}
	column("c-note", name, 0, begins)
	base := d.at(d.Base)
	reach := [2]float64{base, base}
	for k, e := range []End{i.Less, i.More} {
		if e.Change == "" || e.None {
			continue
		}
		x := d.at(e.Value)
		reach[0], reach[1] = min(reach[0], x), max(reach[1], x)
		fmt.Fprintf(&d.lines, `<rect class="c-bar %s" x="%s" y="%s" width="%s" height="%s"/>`+"\n",
			[]string{"c-less", "c-more"}[k], svg.Number(min(x, base)), svg.Number(mid-barThick/2), svg.Number(max(math.Abs(x-base), 0.5)), svg.Number(barThick))
	}
	column("c-note", sides[0], reach[0]-barClear, ends)
	column("c-note", sides[1], reach[1]+barClear, begins)
	d.y += height + size*0.45
}

// foot draws the centre line and the axis under the bars.
func (d *barDrawing) foot(top float64) {
	size := d.sheet.text
	y := d.y + size*0.2
	var rules, axis strings.Builder
	fmt.Fprintf(&axis, "M%s %sH%s", svg.Number(d.left), svg.Number(y), svg.Number(d.right))
	last := math.Inf(-1)
	for i, v := range d.scale.ticks {
		x := d.at(v)
		fmt.Fprintf(&rules, "M%s %sV%s", svg.Number(x), svg.Number(top), svg.Number(y))
		fmt.Fprintf(&axis, "M%s %sv%d", svg.Number(x), svg.Number(y), tick)
		half := svg.TextWidth(d.scale.labels[i], size) / 2
		if x-half < last+4 || x+half > d.sheet.width || x-half < 0 {
			continue
		}
		d.put("c-number", d.scale.labels[i], x, y+tick+size, middle)
		last = x + half
	}
	if rules.Len() > 0 {
		fmt.Fprintf(&d.under, `<path class="c-grid" d="%s"/>`+"\n", rules.String())
	}
	fmt.Fprintf(&d.lines, `<path class="c-axis" d="%s"/>`+"\n", axis.String())
	x := d.at(d.Base)
	fmt.Fprintf(&d.lines, `<path class="c-centre" d="M%s %sV%s"/>`+"\n", svg.Number(x), svg.Number(top-2), svg.Number(y))
	head := headed(d.X.Label, d.scale.unit)
	d.y = y + tick + size*2.35
	d.put("c-head", head, min(d.right, d.sheet.width), d.y, ends)
	d.y += size * 0.4
}

func (d *barDrawing) write(out *bytes.Buffer) {
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" class="chart-drawing chart-%s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title" aria-describedby="%s-desc" fill="none" stroke="currentColor" font-family="sans-serif" font-size="%s">`+"\n",
		d.sheet.name, svg.Number(d.sheet.width), svg.Number(math.Ceil(d.y)), d.id, d.id, svg.Number(d.sheet.text))
	fmt.Fprintf(out, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", d.id, svg.Escape(d.Title), d.id, svg.Escape(d.Alt))
	out.Write(d.under.Bytes())
	out.Write(d.lines.Bytes())
	out.WriteString(`<g fill="currentColor" stroke="none">` + "\n")
	out.Write(d.over.Bytes())
	out.WriteString("</g>\n</svg>\n")
}
