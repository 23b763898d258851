package diagram

import (
	"cmp"
	"math"
	"slices"

	"voltwright/internal/circuit"
)

// The measures of a tall drawing, in its units. At 390 pixels a telephone shows 351 of them across, so that up to TallWidth its letters
// are 11 pixels high or more.
const (
	tallRow   = 26.0 // from one lead to the next at a part
	tallBody  = 30.0 // between the terminals of a part, for its symbol
	tallGap   = 32.0 // from the last lead of a part to the first of the next
	tallLane  = 12.0 // between leads that run side by side
	tallLeast = 376.0
)

// TallWidth is how wide a tall drawing is at most for its letters to be readable on a telephone.
const TallWidth = 414.0

// tallPort is where one lead meets a part, or a terminal that no lead meets.
type tallPort struct {
	terminal string
	lead     int // −1: none
	y        float64
}

// tallPart is a part with its terminals one under the other, those towards the packs first.
type tallPart struct {
	part   int
	ports  []tallPort
	under  int // how many of them stand over the symbol; all of them: the part is a bar or a box
	y0, y1 float64
}

// tall is a drawing for a telephone on the way: all parts under each other in one column, the leads in lanes at its left, and straight
// from part to part where two follow each other.
type tall struct {
	*sheet
	parts    []*tallPart
	lanes    []int // of each lead; −1: it runs straight, or not at all
	count    int   // of lanes
	port     float64
	name     float64 // where names begin
	room     float64 // for names
	straight []bool
}

// finishTall is finish for a telephone.
func (s *sheet) finishTall(description string) Drawing {
	s.setDashes()
	t := &tall{sheet: s, lanes: make([]int, len(s.net.c.Leads)), straight: make([]bool, len(s.net.c.Leads))}
	t.order()
	t.measureAcross()
	t.placeDown()
	t.sortPorts()
	t.assignLanes()
	t.measureAcross() // now that the lanes are known, names may take more lines
	bottom := t.placeDown()
	if t.opt.Standalone {
		t.pen.ink, t.pen.of = Mark, "title"
		t.heading(t.title, margin, margin+letterSize, tallLeast-2*margin)
	}
	t.traceLeads()
	s.leads(s.leadClass)
	for _, p := range t.parts {
		t.symbol(p)
	}
	t.letter()
	w := max(t.name+t.room, tallLeast)
	y := s.drawLegend(margin, bottom+lineStep, w-margin, w-2*margin)
	d := Drawing{Title: s.title, Description: description, Legend: s.legend, Width: w, Height: y + margin, Crossings: s.crossings}
	s.write(&d)
	d.Boxes = s.boxes
	return d
}

// order puts the parts under each other: each after all that feed it, and if it can be at once after the one that feeds it by its
// thickest lead.
func (t *tall) order() {
	n := t.net
	waits := make([]int, len(n.c.Parts)) // parts that have to come before
	feeds := make([][]int, len(n.c.Parts))
	seen := map[[2]int]bool{}
	var leads []int
	for i := range n.c.Leads {
		if n.leads[i] {
			leads = append(leads, i)
		}
	}
	slices.SortStableFunc(leads, func(a, b int) int { return cmp.Compare(n.c.Leads[b].Size.Area, n.c.Leads[a].Size.Area) })
	for _, i := range leads {
		a, b := n.index[n.c.Leads[i].From.Part], n.index[n.c.Leads[i].To.Part]
		if n.layer[a] > n.layer[b] {
			a, b = b, a
		}
		if n.layer[a] == n.layer[b] || seen[[2]int{a, b}] {
			continue
		}
		seen[[2]int{a, b}] = true
		feeds[a] = append(feeds[a], b)
		waits[b]++
	}
	var stack []int
	for i := len(n.c.Parts) - 1; i >= 0; i-- {
		if n.index[n.c.Parts[i].Name] == i && waits[i] == 0 {
			stack = append(stack, i)
		}
	}
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		t.parts = append(t.parts, t.ports(i))
		for _, b := range slices.Backward(feeds[i]) {
			if waits[b]--; waits[b] == 0 {
				stack = append(stack, b)
			}
		}
	}
}

// ports gives a part its terminals in the order in which they stand.
func (t *tall) ports(part int) *tallPart {
	p := &t.net.c.Parts[part]
	out := &tallPart{part: part}
	add := func(terminal string) {
		leads, _ := t.net.ends(t.net.at(part, terminal))
		for _, l := range leads {
			out.ports = append(out.ports, tallPort{terminal: terminal, lead: l})
		}
		if len(leads) == 0 {
			out.ports = append(out.ports, tallPort{terminal: terminal, lead: -1})
		}
	}
	names := p.Terminals()
	if len(names) == 2 && !inBox(p) {
		a, b := names[0].Name, names[1].Name
		if p.Kind != circuit.Pack && !t.net.facing(t.net.at(part, a), t.net.at(part, b)) {
			a, b = b, a
		}
		add(a)
		out.under = len(out.ports)
		add(b)
		return out
	}
	for _, n := range names {
		add(n.Name)
	}
	if len(out.ports) == 0 { // of no poles or ways: its name has a place to stand at
		out.ports = []tallPort{{lead: -1}}
	}
	out.under = len(out.ports)
	return out
}

// inBox tells whether a part is drawn as a box with its terminals in it.
func inBox(p *circuit.Part) bool {
	switch p.Kind {
	case circuit.Cutout, circuit.Controller, circuit.Relay, circuit.Contactor, circuit.Connector:
		return true
	}
	return p.Kind != circuit.TerminalBlock && len(p.Terminals()) != 2
}

// measureAcross says where terminals and names stand.
func (t *tall) measureAcross() {
	wide, label := 0.0, 0.0
	for _, p := range t.parts {
		for _, q := range p.ports {
			wide = max(wide, width(q.terminal))
			if q.lead >= 0 {
				label = max(label, boldWidth(t.tallLabel(q.lead))+t.markRoom(q.lead))
			}
		}
	}
	t.port = math.Ceil(margin + tallLane*float64(t.count) + label + 20)
	t.name = t.port + 12 + math.Ceil(wide) + 14
	t.room = max(92, tallLeast-margin-t.name) + margin
}

// tallLabel is what stands on a lead: its number with the letters of its colour, and in a drawing of what is live its state.
func (t *tall) tallLabel(lead int) string {
	if t.state != nil {
		return clean(t.whips[lead].Label) + " " + t.labels[lead][1]
	}
	return t.number(lead)
}

// placeDown gives every terminal its height.
func (t *tall) placeDown() float64 {
	y := margin + tallGap/2
	if t.opt.Standalone { // the title
		y += 2 * lineStep
	}
	for _, p := range t.parts {
		text := lineStep*float64(len(t.nameLines(p))) + t.markOver(p)
		p.y0 = y
		high := 0.0
		for i := range p.ports {
			if i > 0 {
				high += tallRow
			}
			if i == p.under {
				high += tallBody
			}
			p.ports[i].y = y + high
		}
		p.y1 = y + max(high, text-letterSize)
		y = p.y1 + tallGap
	}
	return y - tallGap/2
}

// sortPorts changes places among the leads of a terminal, so that one that can run straight to the part before or after does.
func (t *tall) sortPorts() {
	for k := 0; k+1 < len(t.parts); k++ {
		a, b := t.parts[k], t.parts[k+1]
		if a.y1 != a.ports[len(a.ports)-1].y { // names hang lower than the last terminal
			continue
		}
		last, first := len(a.ports)-1, 0
		for i := range a.ports {
			for j := range b.ports {
				if l := a.ports[i].lead; l < 0 || l != b.ports[j].lead || a.ports[i].terminal != a.ports[last].terminal && a.under != len(a.ports) || b.ports[j].terminal != b.ports[first].terminal && b.under != len(b.ports) {
					continue
				}
				if inBox(&t.net.c.Parts[a.part]) && a.ports[i].terminal != a.ports[last].terminal || inBox(&t.net.c.Parts[b.part]) && b.ports[j].terminal != b.ports[first].terminal {
					continue
				}
				if t.straightAt(a, i) {
					continue
				}
				swap := func(p *tallPart, x, y int) {
					p.ports[x].lead, p.ports[y].lead = p.ports[y].lead, p.ports[x].lead
					p.ports[x].terminal, p.ports[y].terminal = p.ports[y].terminal, p.ports[x].terminal
				}
				swap(a, i, last)
				swap(b, j, first)
				t.straight[a.ports[last].lead] = true
				i = len(a.ports) - 1
			}
			if a.ports[last].lead >= 0 && t.straight[a.ports[last].lead] && b.ports[first].lead == a.ports[last].lead {
				break
			}
		}
	}
}

// straightAt tells whether the lead at a port runs straight already, to the part before.
func (t *tall) straightAt(p *tallPart, i int) bool {
	return p.ports[i].lead >= 0 && t.straight[p.ports[i].lead]
}

// ends of a lead, as heights.
func (t *tall) endsOf(lead int) (ys []float64) {
	for _, p := range t.parts {
		for _, q := range p.ports {
			if q.lead == lead {
				ys = append(ys, q.y)
			}
		}
	}
	return ys
}

// assignLanes gives every lead that does not run straight a lane: short ones next to the terminals, long ones outside.
func (t *tall) assignLanes() {
	type span struct {
		lead   int
		y0, y1 float64
	}
	var all []span
	for i := range t.net.c.Leads {
		t.lanes[i] = -1
		if ys := t.endsOf(i); len(ys) == 2 && !t.straight[i] {
			all = append(all, span{i, min(ys[0], ys[1]), max(ys[0], ys[1])})
		}
	}
	slices.SortStableFunc(all, func(a, b span) int { return cmp.Compare(a.y1-a.y0, b.y1-b.y0) })
	var lanes [][]span
	for _, s := range all {
		k := 0
		for k < len(lanes) && slices.ContainsFunc(lanes[k], func(o span) bool { return s.y0 <= o.y1 && o.y0 <= s.y1 }) {
			k++
		}
		if k == len(lanes) {
			lanes = append(lanes, nil)
		}
		lanes[k] = append(lanes[k], s)
		t.lanes[s.lead] = k
	}
	t.count = len(lanes)
}

// laneX is where a lane runs; the first is next to the terminals.
func (t *tall) laneX(lane int) float64 {
	return margin + tallLane*float64(t.count-lane) - tallLane/2
}

// traceLeads gives every lead its path.
func (t *tall) traceLeads() {
	t.paths = make([][]float64, len(t.net.c.Leads))
	for i := range t.net.c.Leads {
		ys := t.endsOf(i)
		switch {
		case len(ys) != 2:
		case t.straight[i]:
			t.paths[i] = []float64{t.port, ys[0], t.port, ys[1]}
		default:
			x := t.laneX(t.lanes[i])
			t.paths[i] = []float64{t.port, ys[0], x, ys[0], x, ys[1], t.port, ys[1]}
		}
	}
}

// letter writes what is to be said of each lead: over it beside its upper end, or left of it where it runs straight.
func (t *tall) letter() {
	t.pen.ink = Mark
	done := map[int]bool{}
	for _, p := range t.parts {
		for _, q := range p.ports {
			if q.lead < 0 || done[q.lead] || len(t.paths[q.lead]) == 0 {
				continue
			}
			done[q.lead] = true
			t.pen.of = t.whips[q.lead].Label
			y := q.y - textOff - 2
			if t.straight[q.lead] {
				ys := t.endsOf(q.lead)
				y = (ys[0]+ys[1])/2 + 0.35*letterSize
			}
			t.text("d-b", t.tallLabel(q.lead), t.port-14, y, ends)
			if room := t.markRoom(q.lead); room > 0 {
				at := t.port - 14 - boldWidth(t.tallLabel(q.lead)) - room/2
				t.revision(t.pen.of, t.change.mark, at, y+textOff+2+markOnLead)
			}
		}
	}
}

// nameLines are the lines beside a part: its number with its name, and what it stands.
func (t *tall) nameLines(p *tallPart) []string {
	part := &t.net.c.Parts[p.part]
	name := numbered(p.part, part.Name)
	if t.partFate(p.part) == gone { // which has no number among the parts of the wiring
		name = part.Name
	}
	lines := wrapName(clean(name), max(80, t.room-margin-4))
	f := t.figureOf(p.part)
	if f == nil {
		return lines
	}
	for _, r := range f.rating {
		if width(r) > t.room-margin {
			lines = append(lines, wrapName(r, t.room-margin-4)...)
		} else {
			lines = append(lines, r)
		}
	}
	return lines
}

// markOver is the height of a revision's mark over the names of a part; 0: none.
func (t *tall) markOver(p *tallPart) float64 {
	if t.partFate(p.part) == marked {
		return markHigh + 2
	}
	return 0
}

// figureOf is the figure of a part, which has its rating and what is remarked of it.
func (t *tall) figureOf(part int) *figure {
	for _, it := range t.items {
		if it.fig != nil && it.fig.part == part {
			return it.fig
		}
	}
	return nil
}
