package circuit

import "slices"

// Live is what stays connected to a pack when a part is opened.
type Live struct {
	Opened    int        // the cutout or emergency stop
	Terminals []Terminal // joined to the + of a pack by nothing but leads and closed contacts
	Leads     []int      // with such a terminal
	Fed       []int      // loads, coils and controllers that a current can still go through
	Bypass    []Step     // a way around the opened part, from its one side to the other; nil: none
	FedBehind []int      // packs that are joined to its far side without it; a stop with packs on one side alone has no far side
}

// Live tries the circuit with one part open and every other contact in every
// position, and gathers what is live in any of them. With a cutout every other
// cutout is open as well: each guards its own pack, and none stands in for another.
// With more than 4096 combinations the error is an *UnjudgedError.
func (c *Circuit) Live(part int) (Live, error) {
	opened := &c.Parts[part]
	l := Live{Opened: part}
	hot, fed := map[Terminal]bool{}, map[int]bool{}
	before, behind := map[int]bool{}, map[int]bool{}
	parted := func(p *Part) bool {
		return p.Name == opened.Name || p.Kind == Cutout && opened.Kind == Cutout
	}
	fixed := func(*Part) Position { return Opened } // the others are tried in every position
	few := c.states(fixed, func(p *Part) bool { return !parted(p) }, func(at func(*Part) Position) bool {
		n := c.nets(at, passing)
		c.gatherLive(n, hot, fed)
		in, out := opened.sides()
		from, to := Terminal{opened.Name, in}, Terminal{opened.Name, out}
		if n.of(from) == n.of(to) && l.Bypass == nil {
			l.Bypass = path(c.edges(n.nodes, at, passing), n.nodes.at[from], n.nodes.at[to])
		}
		for i := range c.Parts {
			if p := &c.Parts[i]; p.Kind == Pack {
				plus := n.of(Terminal{p.Name, "+"})
				before[i] = before[i] || plus == n.of(from)
				behind[i] = behind[i] || plus == n.of(to)
			}
		}
		return true
	})
	sided := opened.Kind == Cutout
	for _, b := range before {
		sided = sided || b
	}
	for i := range c.Parts {
		for _, spec := range c.Parts[i].Terminals() {
			if t := (Terminal{c.Parts[i].Name, spec.Name}); hot[t] {
				l.Terminals = append(l.Terminals, t)
			}
		}
		if fed[i] {
			l.Fed = append(l.Fed, i)
		}
		if sided && behind[i] {
			l.FedBehind = append(l.FedBehind, i)
		}
	}
	for i := range c.Leads {
		if hot[c.Leads[i].From] {
			l.Leads = append(l.Leads, i)
		}
	}
	if !few {
		return l, unjudged("more than %d combinations of contacts", mostStates)
	}
	return l, nil
}

// sides are the terminals of a part with one main contact.
func (p *Part) sides() (in, out string) {
	if p.Kind == Cutout {
		return "in+", "out+"
	}
	for _, way := range p.polesAt(Usual) {
		return way.from, way.to
	}
	return "", ""
}

// gatherLive adds what is live in one combination of contacts.
func (c *Circuit) gatherLive(n *nets, hot map[Terminal]bool, fed map[int]bool) {
	plus, minus := map[int]bool{}, map[int]bool{}
	for i := range c.Parts {
		if p := &c.Parts[i]; p.Kind == Pack {
			plus[n.of(Terminal{p.Name, "+"})] = true
			minus[n.of(Terminal{p.Name, "-"})] = true
		}
	}
	for _, t := range c.allTerminals() {
		if plus[n.of(t)] {
			hot[t] = true
		}
	}
	links := c.loadLinks(n)
	here := map[int]bool{}
	for grew := true; grew; { // again with the outputs of controllers that are fed
		grew = false
		for i, link := range links {
			if link.output {
				if here[link.part] && !plus[link.a] {
					plus[link.a], minus[link.b], grew = true, true, true
				}
				continue
			}
			up, down := spread(plus, minus, links, i), spread(minus, plus, links, i)
			if up[link.a] && down[link.b] || !link.oneWay && up[link.b] && down[link.a] {
				here[link.part] = true
			}
		}
	}
	for part := range here {
		fed[part] = true
	}
}

func (c *Circuit) allTerminals() []Terminal {
	var all []Terminal
	for i := range c.Parts {
		for _, spec := range c.Parts[i].Terminals() {
			all = append(all, Terminal{c.Parts[i].Name, spec.Name})
		}
	}
	return all
}

// loadLink is a load as a connection between two nets.
type loadLink struct {
	a, b   int
	part   int
	oneWay bool // a diode: from a to b
	output bool // of a controller: a source once its input is fed
}

func (c *Circuit) loadLinks(n *nets) []loadLink {
	var all []loadLink
	for i := range c.Parts {
		p := &c.Parts[i]
		join := func(a, b string, oneWay, output bool) {
			all = append(all, loadLink{n.of(Terminal{p.Name, a}), n.of(Terminal{p.Name, b}), i, oneWay, output})
		}
		switch {
		case p.Kind.converts():
			join("in+", "in-", false, false)
			join("out+", "out-", false, true)
		case p.Kind == Motor:
			join("+", "-", false, false)
		case p.Kind == Lamp || p.Kind == Horn || p.Kind.resists() && !passing(p):
			join("1", "2", false, false)
		case p.Kind == Throttle:
			join("+", "-", false, false)
		case p.oneWay():
			join("anode", "cathode", true, false)
		case p.Kind.coiled() && p.Coil > 0:
			join("coil+", "coil-", false, false)
		}
	}
	return slices.DeleteFunc(all, func(l loadLink) bool { return l.a == l.b && !l.output })
}

// spread gives the nets reached from start through loads other than one, up to
// those of stop and without them.
func spread(start, stop map[int]bool, links []loadLink, without int) map[int]bool {
	reached := map[int]bool{}
	for net := range start {
		reached[net] = true
	}
	goesOn := func(net int) bool { return reached[net] && (start[net] || !stop[net]) }
	for grew := true; grew; {
		grew = false
		for i, l := range links {
			if i == without || l.output {
				continue
			}
			if goesOn(l.a) && !reached[l.b] {
				reached[l.b], grew = true, true
			} else if !l.oneWay && goesOn(l.b) && !reached[l.a] {
				reached[l.a], grew = true, true
			}
		}
	}
	for net := range stop {
		if !start[net] {
			delete(reached, net)
		}
	}
	return reached
}
