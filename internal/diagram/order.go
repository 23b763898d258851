package diagram

import (
	"slices"
)

// item is what stands in a column: a part, or a lead that passes through.
type item struct {
	fig  *figure
	lead int // that passes; −1
	y    int // row of its first lead
}

// pin is where a lead meets the edge of a channel, the space between two
// columns.
type pin struct {
	edge side // west: the left edge
	item int
	port int // index in the ports of its side; −1: a lead that passes
}

// run is a lead within one channel.
type run struct {
	lead int
	a, b pin
}

// layout is a drawing before it has measures: columns of items, and the runs of
// leads in the channels between them. Channel g lies left of column g.
type layout struct {
	net      *net
	items    []*item
	columns  [][]int
	channels [][]run
}

func newLayout(n *net) *layout {
	o := &layout{net: n}
	last := 0
	for _, l := range n.layer {
		last = max(last, l)
	}
	o.columns = make([][]int, last+1)
	o.channels = make([][]run, last+2)
	where := map[int]int{} // item of a part
	for i := range n.c.Parts {
		if n.index[n.c.Parts[i].Name] != i {
			continue
		}
		where[i] = len(o.items)
		o.columns[n.layer[i]] = append(o.columns[n.layer[i]], len(o.items))
		o.items = append(o.items, &item{fig: n.figure(i), lead: -1})
	}
	for i := range n.c.Leads {
		if n.leads[i] {
			o.thread(i, where)
		}
	}
	return o
}

// ending finds where one end of a lead leaves its part.
func (o *layout) ending(lead, end int, where map[int]int) (it int, s side, k int) {
	l := &o.net.c.Leads[lead]
	t := l.From
	if end == 1 {
		t = l.To
	}
	it = where[o.net.index[t.Part]]
	for s, ports := range o.items[it].fig.ports {
		for k, p := range ports {
			if p.lead == lead && p.terminal == t.Name {
				return it, side(s), k
			}
		}
	}
	return it, west, -1
}

// thread leads a lead through the columns between its ends.
func (o *layout) thread(lead int, where map[int]int) {
	type stop struct {
		channel int
		pin     pin
	}
	var stops [2]stop
	for end := range stops {
		it, s, k := o.ending(lead, end, where)
		g := o.net.layer[o.items[it].fig.part]
		p := pin{east, it, k}
		if s == east {
			g++
			p.edge = west
		}
		stops[end] = stop{g, p}
	}
	if stops[0].channel > stops[1].channel {
		stops[0], stops[1] = stops[1], stops[0]
	}
	at := stops[0].pin
	for g := stops[0].channel; g < stops[1].channel; g++ {
		id := len(o.items)
		o.items = append(o.items, &item{lead: lead})
		o.columns[g] = append(o.columns[g], id)
		o.channels[g] = append(o.channels[g], run{lead, at, pin{east, id, -1}})
		at = pin{west, id, -1}
	}
	g := stops[1].channel
	o.channels[g] = append(o.channels[g], run{lead, at, stops[1].pin})
}

// clone copies what the search changes: the orders and the ports.
func (o *layout) clone() *layout {
	c := *o
	c.columns = make([][]int, len(o.columns))
	for i := range o.columns {
		c.columns[i] = slices.Clone(o.columns[i])
	}
	c.items = make([]*item, len(o.items))
	for i, it := range o.items {
		made := *it
		if it.fig != nil {
			f := *it.fig
			for s := range f.ports {
				f.ports[s] = slices.Clone(f.ports[s])
			}
			made.fig = &f
		}
		c.items[i] = &made
	}
	return &c
}

// rowOf is the row of a pin within its item.
func (o *layout) rowOf(p pin) int {
	if p.port < 0 {
		return 0
	}
	return o.items[p.item].fig.ports[opposite(p.edge)][p.port].row
}

// opposite: the left edge of a channel is the east side of the parts there.
func opposite(s side) side { return 1 - s }

// span is a run as the places of its two ends along the edges of its channel.
type span struct {
	a, b   int
	ea, eb side
}

// crossings counts the crossings in a channel that the orders of the columns on
// either side make unavoidable.
func (s *search) crossings(g int) int {
	runs := s.channels[g]
	s.spans = s.spans[:0]
	for i := range runs {
		r := &runs[i]
		sp := span{s.at(r.a), s.at(r.b), r.a.edge, r.b.edge}
		if sp.ea == east && sp.eb == west || sp.ea == sp.eb && sp.a > sp.b {
			sp.a, sp.b, sp.ea, sp.eb = sp.b, sp.a, sp.eb, sp.ea
		}
		s.spans = append(s.spans, sp)
	}
	s.work += len(runs) * len(runs)
	n := 0
	for i := range s.spans {
		for j := range i {
			if s.spans[i].crosses(&s.spans[j]) {
				n++
			}
		}
	}
	return n
}

func (s *search) at(p pin) int { return s.place[p.item]*1000 + s.rowOf(p) }

func (s *span) crosses(t *span) bool {
	sAcross, tAcross := s.ea != s.eb, t.ea != t.eb
	switch {
	case sAcross && tAcross:
		return (s.a < t.a) != (s.b < t.b)
	case sAcross || tAcross:
		if tAcross {
			s, t = t, s
		}
		end := s.a // of the one that goes across, on the edge of the bracket
		if t.ea == east {
			end = s.b
		}
		return t.a < end && end < t.b
	case s.ea == t.ea:
		return s.a < t.a && t.a < s.b && s.b < t.b || t.a < s.a && s.a < t.b && t.b < s.b
	}
	return false
}
