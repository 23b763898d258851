package diagram

import (
	"cmp"
	"math"
	"slices"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// The measures of a drawing, in its units. One unit is 1/96 inch on a screen.
const (
	letterSize = 13.0 // of all lettering
	pitch      = 40.0 // from one lead to the next: room for a line of text above and one below each
	track      = 16.0 // between leads that run down or up side by side
	lineStep   = 16.0 // from one line of text to the next
	textOff    = 5.0  // of a text from the lead that it stands on or hangs under
	ringRadius = 3.0  // of a terminal
	foot       = 22.0 // from the last lead of a part to what stands below
)

// side is the one on which a lead leaves a part.
type side uint8

const (
	west side = iota
	east
)

// port is where one lead meets a part, or a terminal that no lead meets.
type port struct {
	terminal string
	lead     int // −1: none
	row      int
	set      int // ports of one set on one side may change places
}

// figure is a part as it is drawn: its ports and how much room it takes.
type figure struct {
	part   int
	ports  [2][]port
	rows   int
	width  float64
	dx     [2]float64 // of its ports from its middle
	names  []string   // lines of its name
	rating []string
	up     float64 // how far the symbol rises over its first row
	mark   float64 // height of a revision's mark over its names; 0: none
	coil   side
	coilAt int // row of the coil's first terminal; −1: no coil
	stands bool
	slides bool // its ways may be moved along it
}

// head is the height of a figure over its first row, with name and rating.
func (f *figure) head() float64 {
	return f.up + 5 + lineStep*float64(len(f.names)+len(f.rating)) + f.mark
}

// above is how many rows a figure keeps free over its first one.
func (f *figure) above() int { return int(math.Ceil((foot + f.head()) / pitch)) }

// ends lists the leads at a terminal and the part at the other end of each.
func (n *net) ends(t circuit.Terminal) (leads, others []int) {
	for i := range n.c.Leads {
		l := &n.c.Leads[i]
		if !n.leads[i] {
			continue
		}
		if l.From == t {
			leads, others = append(leads, i), append(others, n.index[l.To.Part])
		}
		if l.To == t {
			leads, others = append(leads, i), append(others, n.index[l.From.Part])
		}
	}
	return leads, others
}

// builder lays out the ports of one figure.
type builder struct {
	*figure
	n    *net
	sets int
}

// put places the leads of a terminal on one side from a row on, and gives the
// number of rows that they take. A terminal without leads gets a port if shown.
func (b *builder) put(terminal string, s side, row int, leads []int, shown bool) int {
	b.sets++
	leads = slices.Clone(leads) // the thickest first, on the axis of the symbol
	slices.SortStableFunc(leads, func(x, y int) int {
		return cmp.Compare(b.n.c.Leads[y].Size.Area, b.n.c.Leads[x].Size.Area)
	})
	for k, l := range leads {
		b.ports[s] = append(b.ports[s], port{terminal, l, row + k, b.sets})
	}
	if len(leads) == 0 && shown {
		b.ports[s] = append(b.ports[s], port{terminal, -1, row, b.sets})
	}
	return max(1, len(leads))
}

// fixed places a terminal whose leads all leave on one side.
func (b *builder) fixed(terminal string, s side, row int) int {
	leads, _ := b.n.ends(b.n.at(b.part, terminal))
	return b.put(terminal, s, row, leads, true)
}

// split tells which leads of a terminal leave on either side.
func (b *builder) split(terminal string) (sides [2][]int) {
	leads, others := b.n.ends(b.n.at(b.part, terminal))
	for k, l := range leads {
		s := west
		if b.n.layer[others[k]] > b.n.layer[b.part] || others[k] == b.part {
			s = east
		}
		sides[s] = append(sides[s], l)
	}
	return sides
}

// free places a terminal whose leads leave towards where they go.
func (b *builder) free(terminal string, row int) int {
	sides := b.split(terminal)
	w := b.put(terminal, west, row, sides[west], len(sides[east]) == 0)
	return max(w, b.put(terminal, east, row, sides[east], false))
}

// facing tells whether a terminal looks to the packs rather than another.
func (n *net) facing(a, b circuit.Terminal) bool {
	s, _ := n.outward(a, b)
	if s != 0 {
		return s < 0
	}
	far := func(t circuit.Terminal) int {
		best := math.MaxInt
		leads, others := n.ends(t)
		for k := range leads {
			best = min(best, n.layer[others[k]])
		}
		return best
	}
	return far(a) <= far(b)
}

func (n *net) figure(part int) *figure {
	p := &n.c.Parts[part]
	b := &builder{figure: &figure{part: part, coilAt: -1, up: 9}, n: n}
	switch p.Kind {
	case circuit.Pack:
		if p.Cells > 1 {
			b.tapped(p)
			break
		}
		k := b.fixed("+", east, 0)
		b.rows = k + 1 + b.fixed("-", east, k+1)
		b.width, b.up = 80, 6
	case circuit.Cutout, circuit.Controller, circuit.Converter, circuit.ReversingSwitch, circuit.HalfSpeedSwitch, circuit.Throttle, circuit.BalanceLead:
		b.box(p)
	case circuit.TerminalBlock:
		b.block(p)
	case circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Connector:
		b.poles(p)
	case circuit.Motor, circuit.Lamp, circuit.Horn, circuit.ChargerSocket, circuit.Charger:
		t := p.Terminals()
		b.stand(t[0].Name, t[1].Name)
	case circuit.Diode, circuit.Suppressor, circuit.Resistor, circuit.PrechargeResistor, circuit.BrakeResistor:
		x, y, _ := bridges(p)
		if n.standing[part] {
			b.stand(x, y)
		} else {
			b.lie(x, y)
		}
	default:
		b.lie("in", "out")
		if p.Kind == circuit.EmergencyStop {
			b.up = 30
		}
	}
	if !b.stands {
		b.dx = [2]float64{-b.width / 2, b.width / 2}
	}
	room := 118.0
	if n.narrow {
		room = 76
	}
	b.names = wrapName(p.Name, max(room, b.width))
	b.rating = ratingOf(p)
	return b.figure
}

// lie draws a part of two terminals in the lead.
func (b *builder) lie(in, out string) {
	if !b.n.facing(b.n.at(b.part, in), b.n.at(b.part, out)) {
		in, out = out, in
	}
	b.rows = max(b.fixed(in, west, 0), b.fixed(out, east, 0))
	b.width = width(in) + width(out) + 12 + bodyWidth
	b.up = 15
}

// bodyWidth is the room for what is drawn between two terminals in a lead.
const bodyWidth = 44

// stand draws a part of two terminals between two leads.
func (b *builder) stand(top, bottom string) {
	t, u := b.n.at(b.part, top), b.n.at(b.part, bottom)
	if b.n.low[t] && !b.n.low[u] || b.n.high[u] && !b.n.high[t] {
		top, bottom = bottom, top
	}
	k := b.free(top, 0)
	b.rows = k + 1 + b.free(bottom, k+1)
	b.width, b.up, b.stands = 2*(max(width(top), width(bottom))+12), 6, true
	b.width = max(b.width, 56)
	b.dx = [2]float64{0, 0}
}

// block draws a terminal block as a bar with its ways to either side.
func (b *builder) block(p *circuit.Part) {
	var rows [2]int
	for _, t := range p.Terminals() {
		sides := b.split(t.Name)
		for s, leads := range sides {
			for _, l := range leads {
				b.ports[s] = append(b.ports[s], port{t.Name, l, rows[s], 1})
				rows[s]++
			}
		}
		if len(sides[0])+len(sides[1]) == 0 {
			b.ports[east] = append(b.ports[east], port{t.Name, -1, rows[east], 1})
			rows[east]++
		}
	}
	b.rows = max(rows[west], rows[east], 1)
	wide := 0.0
	for _, t := range p.Terminals() {
		wide = max(wide, width(t.Name))
	}
	b.width, b.up, b.slides = 2*(wide+16), 14, true
}

// poles draws contacts or a pair of connectors, a row or more for each pole, and
// the coil below.
func (b *builder) poles(p *circuit.Part) {
	row := 0
	wide := [2]float64{}
	all := polesOf(p)
	for i, pole := range all {
		in, out := pole[0], pole[1:]
		var used int
		if len(out) == 0 {
			used = b.fixed(in, west, row)
			wide[west] = max(wide[west], width(in))
		} else if flipped := !b.n.facing(b.n.at(b.part, in), b.n.at(b.part, out[0])); flipped && len(out) == 1 {
			used = max(b.fixed(out[0], west, row), b.fixed(in, east, row))
			wide[west], wide[east] = max(wide[west], width(out[0])), max(wide[east], width(in))
		} else {
			from, to := west, east
			if flipped {
				from, to = east, west
			}
			used = b.fixed(in, from, row)
			wide[from] = max(wide[from], width(in))
			at := row
			for _, o := range out {
				at += b.fixed(o, to, at)
				wide[to] = max(wide[to], width(o))
			}
			used = max(used, at-row)
		}
		if i < len(all)-1 {
			used = max(used, 2) // as far apart as the + and − of a pack, for leads to run straight
		}
		row += used
	}
	b.width = wide[west] + wide[east] + 12 + bodyWidth
	b.up = 16
	if p.Kind == circuit.Relay || p.Kind == circuit.Contactor {
		var sides [2]int
		for _, t := range []string{"coil+", "coil-"} {
			s := b.split(t)
			sides[west] += len(s[west])
			sides[east] += len(s[east])
		}
		if sides[east] > sides[west] {
			b.coil = east
		}
		if sides[west]+sides[east] > 0 || p.Coil > 0 {
			b.coilAt = row
			row += b.fixed("coil+", b.coil, row)
			row += b.fixed("coil-", b.coil, row)
			b.width = max(b.width, 2*(width("coil+")+12+30))
		}
	}
	b.rows = max(row, 1)
}

// wrapName breaks a name into lines.
func wrapName(name string, room float64) []string {
	var lines []string
	line := ""
	for _, word := range splitName(name) {
		if line != "" && boldWidth(line+word) > room {
			lines = append(lines, line)
			line = ""
		}
		line += word
	}
	lines = append(lines, line)
	for i := range lines {
		lines[i] = trimmed(lines[i])
	}
	return slices.DeleteFunc(lines, func(s string) bool { return s == "" })
}

// ratingOf is what a drawing says of a part beside its name.
func ratingOf(p *circuit.Part) []string {
	var words []string
	amps := func(a quantity.Amperes) {
		if a > 0 {
			words = append(words, quantity.Brief(a))
		}
	}
	switch p.Kind {
	case circuit.Pack:
		if p.Nominal > 0 {
			words = append(words, quantity.Brief(p.Nominal))
		}
	case circuit.Motor, circuit.Converter:
		if p.Nominal > 0 {
			words = append(words, quantity.Brief(p.Nominal))
		}
	case circuit.Lamp, circuit.Horn:
		if p.Nominal > 0 {
			words = append(words, quantity.Brief(p.Nominal))
		}
		if p.Power > 0 {
			words = append(words, quantity.Brief(p.Power))
		}
	case circuit.Suppressor:
		if p.Clamps > 0 {
			words = append(words, quantity.Brief(p.Clamps))
		}
	case circuit.Resistor, circuit.PrechargeResistor, circuit.BrakeResistor, circuit.Throttle:
		if p.Resistance > 0 {
			words = append(words, quantity.Brief(p.Resistance))
		}
	default:
		amps(p.Current)
	}
	if len(words) == 0 {
		return nil
	}
	text := words[0]
	for _, w := range words[1:] {
		text += " · " + w
	}
	return []string{text}
}
