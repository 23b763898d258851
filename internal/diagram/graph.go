package diagram

import (
	"math"
	"slices"

	"voltwright/internal/circuit"
)

// net is the circuit as a drawing sees it: which terminals hang together, how
// far each is from the packs, and in which column each part stands.
type net struct {
	c         *circuit.Circuit
	index     map[string]int // part by name
	leads     []bool         // that join two terminals that exist
	plus      map[circuit.Terminal]int
	minus     map[circuit.Terminal]int
	high, low map[circuit.Terminal]bool // joined to the + or − of a pack with every contact closed
	layer     []int
	standing  []bool // a diode or a resistor that bridges the two sides
	narrow    bool   // figures are to be no wider than they must
}

// through tells in which ways the current goes through a part.
func through(p *circuit.Part) [][2]string {
	switch p.Kind {
	case circuit.Fuse, circuit.Breaker, circuit.Shunt, circuit.EmergencyStop:
		return [][2]string{{"in", "out"}}
	case circuit.Cutout:
		return [][2]string{{"in+", "out+"}, {"in-", "out-"}}
	case circuit.ReversingSwitch:
		return [][2]string{{"in+", "out+"}, {"in-", "out-"}}
	case circuit.HalfSpeedSwitch:
		return [][2]string{{"a+", "+"}, {"b+", "+"}, {"a-", "-"}, {"b-", "-"}}
	case circuit.TerminalBlock:
		var all [][2]string
		for _, t := range p.Terminals() {
			all = append(all, [2]string{"1", t.Name})
		}
		return all
	case circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Connector:
		var all [][2]string
		for _, pole := range polesOf(p) {
			for _, out := range pole[1:] {
				all = append(all, [2]string{pole[0], out})
			}
		}
		return all
	}
	return nil
}

// polesOf lists the terminals of each pole: in and out, or in and the two ways
// of a changeover.
func polesOf(p *circuit.Part) [][]string {
	var all [][]string
	for _, t := range p.Terminals() {
		switch {
		case len(t.Name) >= 2 && t.Name[:2] == "in":
			all = append(all, []string{t.Name})
		case len(t.Name) >= 3 && t.Name[:3] == "out" && len(all) > 0:
			all[len(all)-1] = append(all[len(all)-1], t.Name)
		}
	}
	return all
}

// bridges are the two terminals of a part that may lie in a lead or stand
// between the two sides.
func bridges(p *circuit.Part) (a, b string, ok bool) {
	switch p.Kind {
	case circuit.Diode, circuit.Suppressor:
		return "anode", "cathode", true
	case circuit.Resistor, circuit.PrechargeResistor, circuit.BrakeResistor:
		return "1", "2", true
	}
	return "", "", false
}

// converts tells whether the way goes on behind a part that does not let the current through.
func converts(k circuit.Kind) bool { return k == circuit.Controller || k == circuit.Converter }

func isLoad(k circuit.Kind) bool {
	switch k {
	case circuit.Motor, circuit.Lamp, circuit.Horn, circuit.ChargerSocket, circuit.Charger, circuit.Throttle, circuit.BalanceLead:
		return true
	}
	return false
}

func analyse(c *circuit.Circuit) *net {
	n := &net{c: c, index: map[string]int{}, leads: make([]bool, len(c.Leads)), layer: make([]int, len(c.Parts)), standing: make([]bool, len(c.Parts))}
	known := map[circuit.Terminal]bool{}
	for i := range c.Parts {
		p := &c.Parts[i]
		if _, twice := n.index[p.Name]; twice {
			continue
		}
		n.index[p.Name] = i
		for _, t := range p.Terminals() {
			known[circuit.Terminal{Part: p.Name, Name: t.Name}] = true
		}
	}
	for i := range c.Leads {
		l := &c.Leads[i]
		n.leads[i] = known[l.From] && known[l.To] && l.From != l.To
	}
	n.high, n.low = n.reach("+"), n.reach("-")
	for i := range c.Parts {
		if a, b, ok := bridges(&c.Parts[i]); ok {
			ta, tb := n.at(i, a), n.at(i, b)
			n.standing[i] = n.high[ta] && n.low[tb] || n.low[ta] && n.high[tb]
		}
	}
	n.plus, n.minus = n.distances("+"), n.distances("-")
	n.layers()
	return n
}

func (n *net) at(part int, name string) circuit.Terminal {
	return circuit.Terminal{Part: n.c.Parts[part].Name, Name: name}
}

// steps lists what a terminal is joined to: through its part at no cost, and by
// leads.
func (n *net) steps(t circuit.Terminal, inside func(part int) [][2]string) (within, along []circuit.Terminal) {
	part, known := n.index[t.Part]
	if !known {
		return nil, nil
	}
	for _, way := range inside(part) {
		if way[0] == t.Name {
			within = append(within, n.at(part, way[1]))
		}
		if way[1] == t.Name {
			within = append(within, n.at(part, way[0]))
		}
	}
	for i := range n.c.Leads {
		l := &n.c.Leads[i]
		switch {
		case !n.leads[i]:
		case l.From == t:
			along = append(along, l.To)
		case l.To == t:
			along = append(along, l.From)
		}
	}
	return within, along
}

// reach gathers what hangs together with one pole of a pack when every contact
// is closed.
func (n *net) reach(pole string) map[circuit.Terminal]bool {
	found := map[circuit.Terminal]bool{}
	var queue []circuit.Terminal
	for i := range n.c.Parts {
		if n.c.Parts[i].Kind == circuit.Pack {
			queue = append(queue, n.at(i, pole))
		}
	}
	for len(queue) > 0 {
		t := queue[0]
		queue = queue[1:]
		if found[t] {
			continue
		}
		found[t] = true
		within, along := n.steps(t, func(p int) [][2]string { return through(&n.c.Parts[p]) })
		queue = append(append(queue, within...), along...)
	}
	return found
}

// distances counts the leads from one pole of the packs to each terminal. The
// way goes through a controller to its motor, and through no load.
func (n *net) distances(pole string) map[circuit.Terminal]int {
	far := map[circuit.Terminal]int{}
	inside := func(p int) [][2]string {
		part := &n.c.Parts[p]
		if converts(part.Kind) {
			return nil
		}
		if a, b, ok := bridges(part); ok && !n.standing[p] {
			return [][2]string{{a, b}}
		}
		return through(part)
	}
	var queue []circuit.Terminal
	reached := func(t circuit.Terminal, d int) {
		if _, done := far[t]; !done {
			far[t] = d
			queue = append(queue, t)
		}
	}
	for i := range n.c.Parts {
		if n.c.Parts[i].Kind == circuit.Pack {
			reached(n.at(i, pole), 0)
		}
	}
	for len(queue) > 0 {
		slices.SortStableFunc(queue, func(a, b circuit.Terminal) int { return far[a] - far[b] })
		t := queue[0]
		queue = queue[1:]
		within, along := n.steps(t, inside)
		for _, w := range within {
			reached(w, far[t])
		}
		if part := n.index[t.Part]; converts(n.c.Parts[part].Kind) && (t.Name == "in+" || t.Name == "in-") {
			for _, name := range []string{"throttle+", "throttle", "throttle-"} {
				reached(n.at(part, name), far[t])
			}
			reached(n.at(part, "out+"), far[t])
			reached(n.at(part, "out-"), far[t])
		}
		for _, a := range along {
			reached(a, far[t]+1)
		}
	}
	return far
}

// outward tells which end of a lead is nearer to the packs: −1 the first, 1 the
// second, 0 neither; far is the distance of the nearer one.
func (n *net) outward(a, b circuit.Terminal) (side, far int) {
	for _, d := range []map[circuit.Terminal]int{n.plus, n.minus} {
		da, okA := d[a]
		db, okB := d[b]
		switch {
		case !okA || !okB || da == db:
		case da < db:
			return -1, da
		default:
			return 1, db
		}
	}
	return 0, 0
}

// layers puts every part in a column: the packs in the first, each other part
// to the right of what feeds it, as near to it as the longest way allows.
func (n *net) layers() {
	type arrow struct{ from, to, far int }
	var arrows []arrow
	alike := make([][]int, len(n.c.Parts)) // joined by leads with no direction
	for i := range n.c.Leads {
		l := &n.c.Leads[i]
		if !n.leads[i] {
			continue
		}
		a, b := n.index[l.From.Part], n.index[l.To.Part]
		if a == b {
			continue
		}
		side, far := n.outward(l.From, l.To)
		if side > 0 {
			a, b = b, a
		}
		if side == 0 || n.c.Parts[b].Kind == circuit.Pack {
			alike[a], alike[b] = append(alike[a], b), append(alike[b], a)
			continue
		}
		arrows = append(arrows, arrow{a, b, far})
	}
	beside := n.besides()
	arrows = slices.DeleteFunc(arrows, func(a arrow) bool { return beside[a.from] >= 0 || beside[a.to] >= 0 })
	slices.SortStableFunc(arrows, func(a, b arrow) int { return a.far - b.far })
	next := make([][]int, len(n.c.Parts))
	before := make([][]int, len(n.c.Parts))
	for _, a := range arrows {
		if !reaches(next, a.to, a.from) {
			next[a.from] = append(next[a.from], a.to)
			before[a.to] = append(before[a.to], a.from)
		}
	}
	for i := range n.c.Parts {
		if n.c.Parts[i].Kind != circuit.Pack {
			n.layer[i] = 1
		}
	}
	push := func() {
		for range n.c.Parts {
			moved := false
			for i := range next {
				for _, j := range next[i] {
					if n.layer[j] <= n.layer[i] {
						n.layer[j], moved = n.layer[i]+1, true
					}
				}
			}
			if !moved {
				return
			}
		}
	}
	push()
	for range 3 { // a load hangs beside those that it is in series with
		for i := range n.c.Parts {
			if !isLoad(n.c.Parts[i].Kind) {
				continue
			}
			for _, j := range alike[i] {
				if isLoad(n.c.Parts[j].Kind) || n.c.Parts[j].Kind != circuit.Pack {
					n.layer[i] = max(n.layer[i], n.layer[j])
				}
			}
		}
		push()
	}
	for range 4 { // a part that feeds several moves towards them
		for i := range n.c.Parts {
			if n.c.Parts[i].Kind == circuit.Pack || len(next[i]) <= len(before[i]) {
				continue
			}
			last := math.MaxInt
			for _, j := range next[i] {
				last = min(last, n.layer[j]-1)
			}
			n.layer[i] = max(n.layer[i], last)
		}
	}
	for i, with := range beside {
		switch {
		case with < 0:
		case n.standing[i] && n.layer[with] > 1: // before the coil that it spans
			n.layer[i] = n.layer[with] - 1
		case n.standing[i]:
			n.layer[i] = n.layer[with] + 1
		default:
			n.layer[i] = n.layer[with]
		}
	}
	used := slices.Clone(n.layer)
	slices.Sort(used)
	used = slices.Compact(used)
	for i := range n.layer {
		n.layer[i] = slices.Index(used, n.layer[i])
	}
}

// besides finds the parts that lie side by side with another one, both their ends
// joined to it: such a part stands in its column. −1: none.
func (n *net) besides() []int {
	beside := make([]int, len(n.c.Parts))
	for i := range n.c.Parts {
		beside[i] = -1
		p := &n.c.Parts[i]
		ways := through(p)
		if a, b, ok := bridges(p); ok {
			ways = [][2]string{{a, b}}
		}
		if len(ways) != 1 {
			continue
		}
		_, in := n.ends(n.at(i, ways[0][0]))
		_, out := n.ends(n.at(i, ways[0][1]))
		all := append(in, out...)
		if len(in) == 0 || len(out) == 0 || all[0] == i || n.c.Parts[all[0]].Kind == circuit.Pack {
			continue
		}
		if slices.ContainsFunc(all, func(j int) bool { return j != all[0] }) || all[0] < i && beside[all[0]] == i {
			continue
		}
		if (n.standing[i] || len(through(&n.c.Parts[all[0]])) == 1) && n.sides(all[0], i) == 2 && beside[all[0]] < 0 {
			beside[i] = all[0]
		}
	}
	return beside
}

// sides counts the terminals of a part that leads join to another part.
func (n *net) sides(part, other int) int {
	count := 0
	for _, t := range n.c.Parts[part].Terminals() {
		if _, others := n.ends(n.at(part, t.Name)); slices.Contains(others, other) {
			count++
		}
	}
	return count
}

// reaches tells whether there is a way along arrows.
func reaches(next [][]int, from, to int) bool {
	seen := make([]bool, len(next))
	stack := []int{from}
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if at == to {
			return true
		}
		if !seen[at] {
			seen[at] = true
			stack = append(stack, next[at]...)
		}
	}
	return false
}
