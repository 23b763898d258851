package circuit

import (
	"voltwright/internal/quantity"
)

// Circuit is a vehicle's wiring.
type Circuit struct {
	Parts []Part
	Leads []Lead
	Table AmpacityTable // zero: 33 CFR 183.425
}

// PointKind says what an operating point is for.
type PointKind string

// Kinds of operating points. At CutoutOpen every cutout is open, at StopOpen
// every emergency stop.
const (
	Cruise     PointKind = "cruise"
	Hill       PointKind = "hill"
	Stall      PointKind = "stall"
	Charging   PointKind = "charging"
	Braking    PointKind = "braking" // the motors turn and feed a brake resistor
	CutoutOpen PointKind = "cutout open"
	StopOpen   PointKind = "emergency stop"
)

// OperatingPoint is a state in which the circuit is solved.
type OperatingPoint struct {
	Name  string
	Kind  PointKind
	Lasts quantity.Seconds // 0: for good. At Stall: how long the motor stands it
	Basis string           // what its numbers rest on, in words; nothing is computed with it
	Parts map[string]State // by name of part; a part that is not in it is as its State zero
}

// Position is where a contact stands.
type Position uint8

// Positions of contacts.
const (
	Usual    Position = iota // closed; a changeover joins its way a
	Opened                   // nothing is joined
	OtherWay                 // a changeover joins its way b
)

// State is what one part does at an operating point.
type State struct {
	Position Position          // of a switch, relay, contactor, cutout or emergency stop
	Volts    quantity.Volts    // of a pack: behind its resistance; of a charger: where it stops raising its voltage. 0: the part's own
	Current  quantity.Amperes  // of a charger: its current, given on a socket that is charged through; 0: no charger
	Duty     quantity.Fraction // of a controller, negative in reverse; 0: not stated, taken as full on (a setting of 0 % is Off). Of a throttle: how far it is open
	Off      bool              // a controller that lets its motor coast, a converter that is switched off
	Limit    quantity.Amperes  // of a controller: the motor current that it holds; 0: none
	BackEMF  quantity.Volts    // of a motor, from its + to its -
	Draws    quantity.Amperes  // of a motor: its current where that is known instead, and it is fed; then no controller limits
}

// positionOf is where a contact stands, by its kind's rule or its own state.
func (op *OperatingPoint) positionOf(p *Part) Position {
	if p.Kind == Cutout && op.Kind == CutoutOpen || p.Kind == EmergencyStop && op.Kind == StopOpen {
		return Opened
	}
	return op.Parts[p.Name].Position
}

// pole is one way through a part that nothing but its contact closes.
type pole struct {
	name     string
	from, to string // terminal names
	closed   bool
}

// polesAt lists the ways that lead through a part that passes current, with
// those of an open contact marked so. Terminal blocks have none: all their ways
// are one node.
func (p *Part) polesAt(at Position) []pole {
	switch {
	case p.Kind == ReversingSwitch:
		return []pole{{"in+ to out+", "in+", "out+", at == Usual}, {"in- to out-", "in-", "out-", at == Usual},
			{"in+ to out-", "in+", "out-", at == OtherWay}, {"in- to out+", "in-", "out+", at == OtherWay}}
	case p.Kind == HalfSpeedSwitch: // side by side as usual, one after the other the other way
		return []pole{{"a+ to +", "a+", "+", at != Opened}, {"b- to -", "b-", "-", at != Opened},
			{"b+ to +", "b+", "+", at == Usual}, {"a- to -", "a-", "-", at == Usual}, {"a- to b+", "a-", "b+", at == OtherWay}}
	case p.Kind == Cutout:
		return []pole{{"positive", "in+", "out+", at != Opened}, {"negative", "in-", "out-", true}}
	case !p.Kind.passes() || p.Kind == TerminalBlock:
		return nil
	}
	per := 2
	if p.changeover() {
		per = 3
	}
	terminals := p.Terminals()
	var all []pole
	for n := 0; n+per <= len(terminals) && n/per < p.poles(); n += per {
		t := terminals[n : n+per]
		if per == 3 {
			all = append(all, pole{t[0].Name + " to " + t[1].Name, t[0].Name, t[1].Name, at == Usual}, pole{t[0].Name + " to " + t[2].Name, t[0].Name, t[2].Name, at == OtherWay})
		} else {
			all = append(all, pole{t[0].Name + " to " + t[1].Name, t[0].Name, t[1].Name, !p.Kind.contact() || at == Usual})
		}
	}
	return all
}

// positions lists where a contact can stand.
func (p *Part) positions() []Position {
	switch {
	case !p.Kind.contact():
		return []Position{Usual}
	case !p.twoWays():
		return []Position{Usual, Opened}
	case p.OffBetween:
		return []Position{Usual, OtherWay, Opened}
	default:
		return []Position{Usual, OtherWay}
	}
}

// find is the part of that name, or -1.
func (c *Circuit) find(name string) int {
	for i := range c.Parts {
		if c.Parts[i].Name == name {
			return i
		}
	}
	return -1
}

// nodes numbers the terminals of a circuit; all ways of a terminal block are one
// node.
type nodes struct {
	at    map[Terminal]int
	named []Terminal // the first terminal of each node
}

func (c *Circuit) nodes() *nodes {
	n := &nodes{at: map[Terminal]int{}}
	for i := range c.Parts {
		p := &c.Parts[i]
		for w, spec := range p.Terminals() {
			t := Terminal{p.Name, spec.Name}
			if _, twice := n.at[t]; twice {
				continue // a name used twice: Check says so
			}
			if p.Kind == TerminalBlock && w > 0 {
				n.at[t] = len(n.named) - 1
				continue
			}
			n.at[t] = len(n.named)
			n.named = append(n.named, t)
		}
	}
	return n
}

// groups is a partition of nodes into what hangs together (union–find).
type groups []int

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = i
	}
	return g
}

func (g groups) root(i int) int {
	for g[i] != i {
		g[i] = g[g[i]]
		i = g[i]
	}
	return i
}

// join puts the groups of a and b together and tells whether they were apart.
func (g groups) join(a, b int) bool {
	a, b = g.root(a), g.root(b)
	if a == b {
		return false
	}
	g[max(a, b)] = min(a, b)
	return true
}
