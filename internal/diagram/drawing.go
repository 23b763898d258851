package diagram

import (
	"fmt"
	"math"
	"slices"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// heavyArea is the cross-section from which a lead is drawn with a heavy line.
const heavyArea quantity.SquareMillimetres = 2

// zone is a part of a lead where its text may stand.
type zone struct {
	channel int  // the channel, or the column if within is set
	edge    side // of the channel
	within  bool // in a column that the lead passes
	row     int
}

// sheet is a circuit that has been laid out and is being drawn.
type sheet struct {
	*layout
	pen
	opt    Options
	whips  []circuit.Whip
	labels [][2]string // of each lead, over and under
	arrows []float64   // of each lead: the sign of its current, 0: none to be shown
	drops  []string    // of each lead, written where there is room

	title    string
	legend   []LegendLine
	key      [][]string
	position func(*circuit.Part) circuit.Position
	change   *change                   // what a drawing of a change marks; nil in any other
	state    []string                  // class of each lead, if their states are shown
	hot      map[circuit.Terminal]bool // live terminals, if they are shown
	zones    []zone
	pieces   [][]*piece // of each channel

	middles []float64    // of each column
	widths  []float64    // of each column
	lefts   []float64    // of each channel
	spans   []float64    // width of each channel
	room    [][2]float64 // of each channel: for text at either edge
	tracks  []int

	paths     [][]float64
	crossings int
	left, top float64 // of the first column, and of the row 0
	dashes    map[string]string
}

// measure gives columns and channels their widths and every lead its place for
// text.
func (s *sheet) measure() {
	s.widths = make([]float64, len(s.columns))
	for g, ids := range s.columns {
		for _, id := range ids {
			if f := s.items[id].fig; f != nil {
				s.widths[g] = max(s.widths[g], f.width)
				for _, n := range f.names {
					s.widths[g] = max(s.widths[g], boldWidth(n)+8)
				}
				for _, n := range f.rating {
					s.widths[g] = max(s.widths[g], width(n)+8)
				}
			}
		}
	}
	s.pieces = make([][]*piece, len(s.channels))
	s.tracks = make([]int, len(s.channels))
	for g := range s.channels {
		s.pieces[g] = s.route(g)
		for _, p := range s.pieces[g] {
			if !p.straightly {
				s.tracks[g] = max(s.tracks[g], p.track+1)
			}
		}
	}
	s.zoneAll()
	s.lefts = make([]float64, len(s.channels))
	s.spans = make([]float64, len(s.channels))
	s.middles = make([]float64, len(s.columns))
	x := s.left
	for g := range s.channels {
		s.lefts[g] = x
		if len(s.channels[g]) > 0 {
			s.spans[g] = max(28, s.room[g][west]+s.room[g][east]+s.trackRoom(g))
		} else if g > 0 && g < len(s.columns) {
			s.spans[g] = 28
		}
		x += s.spans[g]
		if g < len(s.columns) {
			s.middles[g] = x + s.widths[g]/2
			x += s.widths[g]
		}
	}
	for g, r := range s.room { // what is left goes to the text
		if free := s.spans[g] - r[0] - r[1] - s.trackRoom(g); free > 0 {
			s.room[g][west] += free / 2
			s.room[g][east] += free / 2
		}
	}
}

func (s *sheet) trackRoom(g int) float64 {
	if s.tracks[g] == 0 {
		return 0
	}
	return track*float64(s.tracks[g]-1) + 2*9
}

// labelWidth is the room that the text of a lead takes.
func (s *sheet) labelWidth(lead int) float64 {
	w := max(boldWidth(s.labels[lead][0]), boldWidth(s.labels[lead][1]))
	if w == 0 {
		return 0
	}
	return w + 12 + s.markRoom(lead)
}

// zoneAll chooses where the text of each lead stands: in a column that it passes
// if there is room, else at the edge of a channel where it widens the drawing
// least.
func (s *sheet) zoneAll() {
	s.room = make([][2]float64, len(s.channels))
	s.zones = make([]zone, len(s.net.c.Leads))
	options := make([][]zone, len(s.net.c.Leads))
	for g, runs := range s.channels {
		for _, r := range runs {
			for _, p := range []pin{r.a, r.b} {
				options[r.lead] = append(options[r.lead], zone{g, p.edge, false, s.items[p.item].y + s.rowOf(p)})
				if p.port < 0 && p.edge == east {
					options[r.lead] = append(options[r.lead], zone{channel: g, within: true, row: s.items[p.item].y})
				}
			}
		}
	}
	var order []int
	for i := range options {
		if len(options[i]) > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if d := len(options[a]) - len(options[b]); d != 0 {
			return d
		}
		return int(s.labelWidth(b) - s.labelWidth(a))
	})
	for _, lead := range order {
		w := s.labelWidth(lead)
		least := math.Inf(1)
		for k, z := range options[lead] {
			cost := float64(k) * 0.01
			switch {
			case z.within && s.widths[z.channel] < w:
				continue
			case z.within:
				cost += 2
			default:
				cost += max(0, w-s.room[z.channel][z.edge])
			}
			if cost < least {
				least, s.zones[lead] = cost, z
			}
		}
		if z := s.zones[lead]; !z.within {
			s.room[z.channel][z.edge] = max(s.room[z.channel][z.edge], w)
		}
	}
}

func (s *sheet) yOf(row int) float64 { return s.top + pitch*float64(row) }

// trackX is where a piece runs in its channel.
func (s *sheet) trackX(g int, p *piece) float64 {
	return s.lefts[g] + s.room[g][west] + 9 + track*float64(p.track)
}

// trace gives every lead its path from its first end to its last.
func (s *sheet) trace() {
	s.paths = make([][]float64, len(s.net.c.Leads))
	for g, runs := range s.channels {
		for i, r := range runs {
			var here []*piece
			for _, p := range s.pieces[g] {
				if p.run == i {
					here = append(here, p)
				}
			}
			s.paths[r.lead] = append(s.paths[r.lead], s.portX(g, r.a), s.yOf(s.items[r.a.item].y+s.rowOf(r.a)))
			bends := s.bendsOf(g, r, here)
			s.paths[r.lead] = append(s.paths[r.lead], bends...)
			if r.b.port >= 0 {
				s.paths[r.lead] = append(s.paths[r.lead], s.portX(g, r.b), s.yOf(s.items[r.b.item].y+s.rowOf(r.b)))
			}
		}
	}
	for i := range s.paths {
		s.paths[i] = tidy(s.paths[i])
	}
}

// bendsOf lists the corners of a lead in a channel, from its a to its b.
func (s *sheet) bendsOf(g int, r run, here []*piece) []float64 {
	y := func(double int) float64 { return s.top + pitch/2*float64(double) }
	if len(here) == 1 {
		p := here[0]
		if p.straightly {
			return nil
		}
		x := s.trackX(g, p)
		return []float64{x, y(p.a), x, y(p.b)}
	}
	var first, second *piece
	for _, p := range here {
		if p.stepB {
			first = p
		} else {
			second = p
		}
	}
	x0, x1 := s.trackX(g, first), s.trackX(g, second)
	points := []float64{x0, y(first.a), x0, y(first.b), x1, y(second.a), x1, y(second.b)}
	if r.a.edge == east {
		points = []float64{x1, y(second.b), x1, y(second.a), x0, y(first.b), x0, y(first.a)}
	}
	return points
}

// portX is where a pin lies: the port of a part, or the middle of the column
// that a lead passes.
func (s *sheet) portX(g int, p pin) float64 {
	column := g
	if p.edge == west {
		column = g - 1
	}
	if p.port < 0 {
		return s.middles[column]
	}
	f := s.items[p.item].fig
	return s.middles[column] + f.dx[opposite(p.edge)]
}

// tidy leaves out points that lie on a straight line between others.
func tidy(points []float64) []float64 {
	var out []float64
	for i := 0; i < len(points); i += 2 {
		x, y := points[i], points[i+1]
		for {
			n := len(out)
			if n >= 2 && out[n-2] == x && out[n-1] == y {
				out = out[:n-2]
				continue
			}
			if n >= 4 && (out[n-4] == out[n-2] && out[n-2] == x || out[n-3] == out[n-1] && out[n-1] == y) {
				out = out[:n-2]
				continue
			}
			break
		}
		out = append(out, x, y)
	}
	return out
}

// crossing is where two leads cross: over runs down, under across.
type crossing struct {
	x, y        float64
	over, under int
}

func (s *sheet) findCrossings() []crossing {
	var found []crossing
	type seg struct {
		lead           int
		x0, y0, x1, y1 float64
	}
	var across, down []seg
	for lead, p := range s.paths {
		for i := 0; i+3 < len(p); i += 2 {
			g := seg{lead, min(p[i], p[i+2]), min(p[i+1], p[i+3]), max(p[i], p[i+2]), max(p[i+1], p[i+3])}
			if g.y0 == g.y1 {
				across = append(across, g)
			} else {
				down = append(down, g)
			}
		}
	}
	for _, d := range down {
		for _, a := range across {
			if a.lead != d.lead && a.x0 < d.x0 && d.x0 < a.x1 && d.y0 < a.y0 && a.y0 < d.y1 {
				found = append(found, crossing{d.x0, a.y0, d.lead, a.lead})
			}
		}
	}
	return found
}

// leads draws every lead, and then again what runs down over a crossing, on a
// gap in what runs across, so that no crossing looks like a joint.
func (s *sheet) leads(class func(lead int) string) {
	for i, p := range s.paths {
		if len(p) == 0 {
			continue
		}
		s.pen.of, s.pen.ink = s.whips[i].Label, Wire
		for k := 0; k+3 < len(p); k += 2 {
			b := Box{Wire, s.pen.of, min(p[k], p[k+2]), min(p[k+1], p[k+3]), max(p[k], p[k+2]), max(p[k+1], p[k+3])}
			if b.Y0 == b.Y1 {
				b.Y0, b.Y1 = b.Y0-leadHalf, b.Y1+leadHalf
			} else {
				b.X0, b.X1 = b.X0-leadHalf, b.X1+leadHalf
			}
			s.boxes = append(s.boxes, b)
		}
		s.strand(i, class(i), p)
	}
	found := s.findCrossings()
	s.crossings = len(found)
	for _, c := range found {
		fmt.Fprintf(&s.out, `<path class="d-gap" d="M%s %sV%s" stroke="#fff" stroke-width="13"/>`, num(c.x), num(c.y-5), num(c.y+5))
		s.strand(c.over, class(c.over), []float64{c.x, c.y - 6, c.x, c.y + 6})
		s.out.WriteString("\n")
	}
}

// leadHalf is half the width of the widest lead with its casing.
const leadHalf = 3.8

// strand draws a piece of a lead: its casing, its colour, its stripe.
func (s *sheet) strand(i int, class string, points []float64) {
	d := ""
	for k := 0; k < len(points); k += 2 {
		switch {
		case k == 0:
			d = "M" + num(points[0]) + " " + num(points[1])
		case points[k] == points[k-2]:
			d += "V" + num(points[k+1])
		default:
			d += "H" + num(points[k])
		}
	}
	l := &s.net.c.Leads[i]
	wide, core := 4.2, 2.2
	if l.Size.Area >= heavyArea {
		wide, core = 5.6, 3.4
	}
	fmt.Fprintf(&s.out, `<g class="%s">`, class)
	if s.leadFate(i) == gone {
		s.outline(d)
	} else {
		s.coat(l.Colour, l.Stripe, d, wide, core)
	}
	s.out.WriteString("</g>")
	if len(points) > 4 {
		s.out.WriteString("\n")
	}
}

// coat paints a path as a lead of a colour: casing, colour, stripe; without
// colours, as a line with the dashes of that colour, and white as an open line.
func (s *sheet) coat(colour, stripe, d string, wide, core float64) {
	if s.opt.Monochrome && colour != "white" {
		dash := s.dashes[colour]
		if dash != "" {
			dash = ` stroke-dasharray="` + dash + `"`
		}
		fmt.Fprintf(&s.out, `<path class="d-core d-plain" d="%s" stroke-width="%s"%s/>`, d, num(core), dash)
		return
	}
	fmt.Fprintf(&s.out, `<path class="d-casing" d="%s" stroke-width="%s"/>`, d, num(wide))
	fmt.Fprintf(&s.out, `<path class="d-core%s" d="%s" stroke="%s" stroke-width="%s"/>`, colourClass(colour), d, paint(colour), num(core))
	if stripe != "" && !s.opt.Monochrome {
		fmt.Fprintf(&s.out, `<path class="d-core%s" d="%s" stroke="%s" stroke-width="%s" stroke-dasharray="6 8"/>`, colourClass(stripe), d, paint(stripe), num(core))
	}
}

// letterLeads writes over and under each lead what is to be said of it.
func (s *sheet) letterLeads() {
	s.pen.ink = Mark
	for i, z := range s.zones {
		if len(s.paths[i]) == 0 || s.labels[i][0] == "" {
			continue
		}
		y := s.yOf(z.row)
		var x float64
		h := begins
		switch {
		case z.within:
			x, h = s.middles[z.channel], middle
		case z.edge == west:
			x = s.lefts[z.channel] + 6
		default:
			x, h = s.lefts[z.channel]+s.spans[z.channel]-6, ends
		}
		over, below := s.labels[i][0], s.labels[i][1]
		s.pen.of = s.whips[i].Label
		if room := s.markRoom(i); room > 0 {
			half := markWide(s.change.mark) / 2
			switch {
			case z.within:
				x += room / 2
				s.revision(s.pen.of, s.change.mark, x-max(boldWidth(over), boldWidth(below))/2-5-half, y+markOnLead)
			case z.edge == west:
				s.revision(s.pen.of, s.change.mark, x+half, y+markOnLead)
				x += room
			default:
				s.revision(s.pen.of, s.change.mark, x-half, y+markOnLead)
				x -= room
			}
		}
		s.text("d-b", over, x, y-textOff-2, h)
		if s.arrows[i] != 0 {
			below = s.arrow(i, z, y) + below[len("→"):]
		}
		if more := below + " · " + s.drops[i]; s.drops[i] != "" && boldWidth(more) <= s.zoneWidth(i, z) {
			below = more
		}
		if below != "" {
			s.text("", below, x, y+under, h)
		}
	}
}

// zoneWidth is the room for text at a lead's zone.
func (s *sheet) zoneWidth(i int, z zone) float64 {
	if z.within {
		return s.widths[z.channel]
	}
	return s.room[z.channel][z.edge] - 12 - s.markRoom(i)
}

// arrow points along a lead where its text stands, in the direction of its
// current.
func (s *sheet) arrow(i int, z zone, y float64) string {
	p := s.paths[i]
	sign := s.arrows[i]
	if !s.startsAtFrom(i) {
		sign = -sign
	}
	x := 0.0
	switch {
	case z.within:
		x = s.middles[z.channel]
	case z.edge == west:
		x = s.lefts[z.channel] + 3
	default:
		x = s.lefts[z.channel] + s.spans[z.channel] - 3
	}
	for k := 0; k+3 < len(p); k += 2 {
		if p[k+1] == y && p[k+3] == y && min(p[k], p[k+2]) <= x && x <= max(p[k], p[k+2]) {
			if (p[k+2]-p[k])*sign < 0 {
				return "←"
			}
			return "→"
		}
	}
	return "→"
}

// startsAtFrom tells whether the path of a lead begins at its From.
func (s *sheet) startsAtFrom(lead int) bool {
	for _, runs := range s.channels {
		for _, r := range runs {
			if r.lead != lead || r.a.port < 0 {
				continue
			}
			f := s.items[r.a.item].fig
			t := f.ports[opposite(r.a.edge)][r.a.port].terminal
			return s.net.c.Leads[lead].From == s.net.at(f.part, t)
		}
	}
	return true
}

// height is from the top of the drawing to under its last row.
func (s *sheet) height() (top, bottom float64) {
	top, bottom = math.Inf(1), math.Inf(-1)
	for _, it := range s.items {
		y := pitch * float64(it.y)
		if it.fig == nil {
			top, bottom = min(top, y-foot), max(bottom, y+foot)
			continue
		}
		top = min(top, y-it.fig.head()-4)
		bottom = max(bottom, y+pitch*float64(it.fig.rows-1)+foot+4)
	}
	if len(s.items) == 0 {
		return 0, 0
	}
	return top, bottom
}

// total is the width of columns and channels.
func (s *sheet) total() float64 {
	w := 0.0
	for _, x := range s.widths {
		w += x
	}
	for _, x := range s.spans {
		w += x
	}
	return w
}
