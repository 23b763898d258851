package circuit

import (
	"slices"
	"strconv"

	"voltwright/internal/quantity"
)

// nets is what hangs together without loads between: terminals that are one
// point as far as voltage goes.
type nets struct {
	groups
	nodes *nodes
}

func (n *nets) of(t Terminal) int { return n.root(n.nodes.at[t]) }

// lowOhms is the resistance below which a resistor is no load but a link.
// It is ours: common practice has no number.
const lowOhms quantity.Ohms = 0.05

// passing tells whether a part hands the voltage on from one terminal to another.
func passing(p *Part) bool {
	return p.Kind.passes() || p.Kind.resists() && p.Resistance > 0 && p.Resistance < lowOhms
}

// edge is one way from node to node: a lead, or a pole of a part.
type edge struct {
	a, b int
	part int // −1: a lead
	lead int
}

// edges lists leads and closed ways through the parts that through accepts. The
// side that a controller has in common with its motor always counts, and that of a converter.
func (c *Circuit) edges(n *nodes, at func(*Part) Position, through func(*Part) bool) []edge {
	var all []edge
	for i := range c.Leads {
		a, okA := n.at[c.Leads[i].From]
		b, okB := n.at[c.Leads[i].To]
		if okA && okB {
			all = append(all, edge{a, b, -1, i})
		}
	}
	for i := range c.Parts {
		p := &c.Parts[i]
		join := func(from, to string) {
			all = append(all, edge{n.at[Terminal{p.Name, from}], n.at[Terminal{p.Name, to}], i, -1})
		}
		if p.Kind == Controller || p.Kind == Converter && !p.Isolated {
			join(p.commonSide())
		}
		if !through(p) {
			continue
		}
		for _, way := range p.polesAt(at(p)) {
			if way.closed {
				join(way.from, way.to)
			}
		}
		if p.Kind.resists() {
			join("1", "2")
		}
	}
	return all
}

func (p *Part) commonSide() (from, to string) {
	if p.CommonPositive {
		return "in+", "out+"
	}
	return "in-", "out-"
}

// nets finds what hangs together with the contacts as at says.
func (c *Circuit) nets(at func(*Part) Position, through func(*Part) bool) *nets {
	n := c.nodes()
	found := &nets{newGroups(len(n.named)), n}
	for _, e := range c.edges(n, at, through) {
		found.join(e.a, e.b)
	}
	return found
}

func usual(*Part) Position { return Usual }

// potentials gives each net that packs reach its voltage against the lowest net
// of its network, packs without load. Diodes hand a voltage on where nothing
// else does. A pack whose two ends are one net, or that meets others with quite
// another voltage, is opposed.
type potentials struct {
	volts   map[int]float64 // by net
	high    map[int]float64 // by net: the highest voltage of its network
	opposed []int           // packs
}

// unlike is the difference, as a share of a pack's voltage, from which packs
// that are joined oppose each other; less is a matter of charge.
const unlike = 0.25

func (c *Circuit) potentials(n *nets, value func(*Part) quantity.Volts) potentials {
	p := potentials{volts: map[int]float64{}, high: map[int]float64{}}
	type pack struct {
		part, minus, plus int
		volts             float64
	}
	var packs []pack
	for i := range c.Parts {
		if q := &c.Parts[i]; q.Kind == Pack {
			packs = append(packs, pack{i, n.of(Terminal{q.Name, "-"}), n.of(Terminal{q.Name, "+"}), float64(value(q))})
		}
	}
	for _, first := range packs {
		if _, known := p.volts[first.minus]; known {
			continue
		}
		island := []int{first.minus}
		p.volts[first.minus] = 0
		for done := 0; done < len(island); done++ {
			at := island[done]
			for _, q := range packs {
				for _, end := range [2]struct {
					from, to int
					step     float64
				}{{q.minus, q.plus, q.volts}, {q.plus, q.minus, -q.volts}} {
					if end.from != at {
						continue
					}
					if _, known := p.volts[end.to]; !known {
						p.volts[end.to] = p.volts[at] + end.step
						island = append(island, end.to)
					}
				}
			}
		}
		lowest, highest := 0.0, 0.0
		for _, net := range island {
			lowest, highest = min(lowest, p.volts[net]), max(highest, p.volts[net])
		}
		for _, net := range island {
			p.volts[net] -= lowest
			p.high[net] = highest - lowest
		}
	}
	for _, q := range packs {
		if off := p.volts[q.plus] - p.volts[q.minus] - q.volts; q.minus == q.plus || off > unlike*q.volts || off < -unlike*q.volts {
			p.opposed = append(p.opposed, q.part)
		}
	}
	c.tapped(n, &p, value)
	for range c.Parts {
		for i := range c.Parts {
			if d := &c.Parts[i]; d.Kind == Diode {
				a, b := n.of(Terminal{d.Name, "anode"}), n.of(Terminal{d.Name, "cathode"})
				p.handOn(a, b)
				p.handOn(b, a)
			}
		}
	}
	return p
}

// tapped puts the ends of cells at their share of their pack's voltage.
func (c *Circuit) tapped(n *nets, p *potentials, value func(*Part) quantity.Volts) {
	for i := range c.Parts {
		q := &c.Parts[i]
		if q.Kind != Pack || q.Cells < 2 {
			continue
		}
		minus := n.of(Terminal{q.Name, "-"})
		for k := 1; k < q.Cells; k++ {
			net := n.of(Terminal{q.Name, strconv.Itoa(k)})
			if _, known := p.volts[net]; !known {
				p.volts[net], p.high[net] = p.volts[minus]+float64(value(q))*float64(k)/float64(q.Cells), p.high[minus]
			}
		}
	}
}

func (p *potentials) handOn(from, to int) {
	if _, known := p.volts[to]; known {
		return
	}
	if v, known := p.volts[from]; known {
		p.volts[to], p.high[to] = v, p.high[from]
	}
}

// span is the highest voltage between any two packs' terminals.
func (p *potentials) span() quantity.Volts {
	var most float64
	for _, v := range p.high {
		most = max(most, v)
	}
	return quantity.Volts(most)
}

// Step is one piece of a path: a lead, or the part that it goes through.
type Step struct{ Part, Lead int } // −1 where it is the other

// path is a shortest way between nodes by leads and parts; nil if there is none.
func path(edges []edge, from, to int) []Step {
	type visit struct {
		edge, before int
	}
	seen := map[int]visit{from: {-1, -1}}
	queue := []int{from}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		if at == to {
			var steps []Step
			for seen[at].edge >= 0 {
				e := edges[seen[at].edge]
				steps = append(steps, Step{e.part, e.lead})
				at = seen[at].before
			}
			slices.Reverse(steps)
			return steps
		}
		for i, e := range edges {
			for _, end := range [2][2]int{{e.a, e.b}, {e.b, e.a}} {
				if end[0] == at {
					if _, was := seen[end[1]]; !was {
						seen[end[1]] = visit{i, at}
						queue = append(queue, end[1])
					}
				}
			}
		}
	}
	return nil
}

// mostStates bounds the combinations of contacts that are tried.
const mostStates = 4096

// states goes through every combination of positions of the contacts that free
// accepts, the others as fixed says, until visit returns false. It tells whether
// there were few enough to try.
func (c *Circuit) states(fixed func(*Part) Position, free func(*Part) bool, visit func(at func(*Part) Position) bool) bool {
	var parts []int
	count := 1
	for i := range c.Parts {
		if p := &c.Parts[i]; p.Kind.contact() && free(p) {
			parts = append(parts, i)
			if count *= len(p.positions()); count > mostStates {
				return false
			}
		}
	}
	for s := range count {
		chosen := map[string]Position{}
		for _, i := range parts {
			all := c.Parts[i].positions()
			chosen[c.Parts[i].Name] = all[s%len(all)]
			s /= len(all)
		}
		if !visit(func(p *Part) Position {
			if at, is := chosen[p.Name]; is {
				return at
			}
			return fixed(p)
		}) {
			break
		}
	}
	return true
}

// Contact is a part with contacts and where it stands.
type Contact struct {
	Part     int
	Position Position
}

// standing lists the contacts that are not as usual.
func (c *Circuit) standing(at func(*Part) Position) []Contact {
	var all []Contact
	for i := range c.Parts {
		if p := &c.Parts[i]; p.Kind.contact() && at(p) != Usual {
			all = append(all, Contact{i, at(p)})
		}
	}
	return all
}

// Short is a way from one end of a pack to the other with nothing between that
// would take up the voltage.
type Short struct {
	Pack    int
	Path    []Step    // from + to −
	With    []Contact // contacts that are not as usual
	Diode   bool      // it goes forwards through a diode
	Opposed bool      // it is made by packs joined against each other
}

// Shorts tries every combination of contacts and gives for each pack the first
// in which it is shorted. Relays are tried in every position, whatever holds
// their coils, since contacts weld. With more than 4096 combinations the error is
// an *UnjudgedError.
func (c *Circuit) Shorts() ([]Short, error) {
	var found []Short
	seen := map[int]bool{}
	add := func(s Short) {
		if !seen[s.Pack] {
			seen[s.Pack] = true
			found = append(found, s)
		}
	}
	few := c.states(usual, func(*Part) bool { return true }, func(at func(*Part) Position) bool {
		n := c.nets(at, passing)
		for i := range c.Parts {
			p := &c.Parts[i]
			if p.Kind != Pack {
				continue
			}
			plus, minus := n.nodes.at[Terminal{p.Name, "+"}], n.nodes.at[Terminal{p.Name, "-"}]
			plain := c.edges(n.nodes, at, passing)
			if a, b, cells := c.cellsJoined(n, p); cells {
				add(Short{Pack: i, Path: path(plain, a, b), With: c.standing(at)})
			} else if n.root(plus) == n.root(minus) {
				add(Short{Pack: i, Path: path(plain, plus, minus), With: c.standing(at)})
			} else if c.forward(n, n.root(plus))[n.root(minus)] {
				with := c.edges(n.nodes, at, func(p *Part) bool { return passing(p) })
				for j := range c.Parts {
					if d := &c.Parts[j]; d.oneWay() {
						with = append(with, edge{n.nodes.at[Terminal{d.Name, "anode"}], n.nodes.at[Terminal{d.Name, "cathode"}], j, -1})
					}
				}
				add(Short{Pack: i, Path: path(with, plus, minus), With: c.standing(at), Diode: true})
			}
		}
		for _, i := range c.potentials(n, sourceOf).opposed {
			add(Short{Pack: i, With: c.standing(at), Opposed: true})
		}
		return true
	})
	if !few {
		return found, unjudged("more than %d combinations of contacts", mostStates)
	}
	return found, nil
}

// cellsJoined finds two ends of cells of a pack that are one net, but its own two.
func (c *Circuit) cellsJoined(n *nets, p *Part) (a, b int, is bool) {
	at := []int{n.nodes.at[Terminal{p.Name, "-"}]}
	for k := 1; k < p.Cells; k++ {
		at = append(at, n.nodes.at[Terminal{p.Name, strconv.Itoa(k)}])
	}
	if at = append(at, n.nodes.at[Terminal{p.Name, "+"}]); len(at) < 3 {
		return 0, 0, false
	}
	for i := range at {
		for _, b := range at[i+1:] {
			if n.root(at[i]) == n.root(b) {
				return at[i], b, true
			}
		}
	}
	return 0, 0, false
}

func sourceOf(p *Part) quantity.Volts { return p.sourceVolts(State{}) }

// forward gives the nets that a net reaches through diodes in their direction.
func (c *Circuit) forward(n *nets, from int) map[int]bool {
	reached := map[int]bool{from: true}
	for grew := true; grew; {
		grew = false
		for i := range c.Parts {
			if d := &c.Parts[i]; d.oneWay() {
				a, b := n.of(Terminal{d.Name, "anode"}), n.of(Terminal{d.Name, "cathode"})
				if reached[a] && !reached[b] {
					reached[b], grew = true, true
				}
			}
		}
	}
	return reached
}
