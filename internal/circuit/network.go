package circuit

import (
	"maps"
	"slices"

	"voltwright/internal/quantity"
)

// law is what ties the voltage and the current of a branch.
type law uint8

const (
	resistive law = iota // v = ohms·i + drop
	source               // i = amps
	open                 // i = 0
	input                // i follows the output of the controller
	output               // v follows the input of the controller
)

type branch struct {
	from, to int
	law      law
	ohms     float64
	drop     float64
	amps     float64
	part     int // −1: a lead
	lead     int
	way      string
	peer     int // of a controller's input or output: the other branch
}

// network is a circuit at one operating point, in numbers.
type network struct {
	circuit  *Circuit
	op       *OperatingPoint
	nodes    *nodes
	branches []branch
	used     []bool // nodes that a branch or lead touches

	diodes      []int
	chargers    []charger
	controllers []*regulator
	converters  []*supply
	drawn       []drawn

	unfed   []int
	assumed []Assumption
	last    []float64 // the solution
}

// charger holds its current until its voltage is reached.
type charger struct {
	branch      int
	volts, amps float64
}

type drawnMode uint8

const (
	probing drawnMode = iota
	drawing
	unfed
)

// drawn is a motor whose current is given.
type drawn struct {
	branch int
	amps   float64
	mode   drawnMode
}

// regulator is a controller.
type regulator struct {
	part       int
	in, out    int // branches
	duty       float64
	efficiency float64
	ohms       float64
	limit      float64
	brakes     bool
	limited    bool
	fresh      bool    // limited since the last solution: its input is not known yet
	gain       float64 // duty in use
	around     float64 // input voltage about which a limited one is linear
}

func (n *network) add(b branch) int {
	n.branches = append(n.branches, b)
	n.used[b.from], n.used[b.to] = true, true
	return len(n.branches) - 1
}

func (c *Circuit) network(op *OperatingPoint) (*network, error) {
	for _, name := range slices.Sorted(maps.Keys(op.Parts)) {
		if c.find(name) < 0 {
			return nil, &UnknownPartError{op.Name, name}
		}
	}
	n := &network{circuit: c, op: op, nodes: c.nodes()}
	n.used = make([]bool, len(n.nodes.named))
	for i := range c.Leads {
		l := &c.Leads[i]
		from, okFrom := n.nodes.at[l.From]
		to, okTo := n.nodes.at[l.To]
		if !okFrom || !okTo {
			return nil, &UnknownTerminalError{i, l.From, l.To}
		}
		ohms, _, _ := l.resistance()
		n.add(branch{from: from, to: to, ohms: ohms, part: -1, lead: i})
	}
	for i := range c.Parts {
		n.addPart(i)
	}
	if err := n.reachable(); err != nil {
		return nil, err
	}
	n.feed()
	return n, nil
}

// addPart stamps the branches of one part in its state.
func (n *network) addPart(i int) {
	p := &n.circuit.Parts[i]
	state := n.op.Parts[p.Name]
	node := func(name string) int { return n.nodes.at[Terminal{p.Name, name}] }
	put := func(from, to, way string, b branch) int {
		b.from, b.to, b.way, b.part, b.lead = node(from), node(to), way, i, -1
		return n.add(b)
	}
	n.assume(i)
	for _, way := range p.polesAt(n.op.positionOf(p)) {
		b := branch{ohms: float64(p.Resistance)}
		if p.Kind == Cutout && way.name == "negative" {
			b.ohms = 0
		}
		if !way.closed {
			b.law = open
		}
		if n.touched(i, way.from) || n.touched(i, way.to) {
			put(way.from, way.to, way.name, b)
		}
	}
	if p.Kind.coiled() && p.Coil > 0 {
		put("coil+", "coil-", "coil", branch{ohms: float64(p.Coil)})
	}
	switch p.Kind {
	case Pack:
		n.addCells(p, state, put)
	case ChargerSocket, Charger:
		if state.Current > 0 {
			b := put("-", "+", "charger", branch{drop: -float64(state.Volts)})
			n.chargers = append(n.chargers, charger{b, float64(state.Volts), float64(state.Current)})
		} else {
			put("+", "-", "socket", branch{law: open})
		}
	case Motor:
		b := put("+", "-", "winding", branch{ohms: float64(p.Resistance), drop: float64(state.BackEMF)})
		if state.Draws > 0 {
			n.branches[b].drop = 0
			n.branches[b].ohms = max(float64(p.Resistance), 1)
			n.drawn = append(n.drawn, drawn{branch: b, amps: float64(state.Draws)})
		}
	case Diode:
		n.diodes = append(n.diodes, put("anode", "cathode", "junction", branch{law: open, ohms: float64(p.Resistance), drop: float64(p.Volts)}))
	case Suppressor:
		n.addSuppressor(p, put)
	case Throttle:
		n.addThrottle(p, state, put)
	case Converter:
		n.addConverter(i, state, put)
	case Resistor, PrechargeResistor, BrakeResistor, Lamp, Horn:
		ohms, terminals := p.loadOhms(), p.Terminals()
		b := branch{ohms: ohms}
		if ohms == 0 {
			b.law = open // nothing is known of what it takes
		}
		put(terminals[0].Name, terminals[1].Name, "load", b)
	case Controller:
		n.addController(i, state, put)
	}
}

// assume notes what a part leaves unsaid and what is taken for it.
func (n *network) assume(i int) {
	p := &n.circuit.Parts[i]
	note := func(text string) { n.assumed = append(n.assumed, Assumption{i, text}) }
	switch {
	case p.Kind == TerminalBlock || p.Kind.charges() || p.Kind == BalanceLead || p.Kind == Suppressor:
	case p.Kind == Converter:
		n.assumeConverter(p, note)
	case p.Kind == Lamp || p.Kind == Horn || p.Kind.resists():
		if p.loadOhms() == 0 {
			note("what it takes is not stated: it is left out")
		}
	case p.Kind == Pack && p.Taken != "":
		note("its resistance is not stated: " + p.Taken)
	case !(p.Resistance > 0):
		note("its resistance is not stated: none is taken")
	}
	if p.Kind.converts() && p.Efficiency == 0 {
		note("its efficiency is not stated: no loss is taken beside its resistance")
	}
	if p.Kind == Pack && n.op.Parts[p.Name].Volts == 0 && p.Volts == 0 {
		note("its voltage at rest is not stated: the nominal voltage is taken")
	}
}

// touched tells whether a lead ends at a terminal; a pole of a connector or
// relay that nobody wired is left out.
func (n *network) touched(part int, terminal string) bool {
	return n.used[n.nodes.at[Terminal{n.circuit.Parts[part].Name, terminal}]]
}

func (p *Part) sourceVolts(state State) quantity.Volts {
	switch {
	case state.Volts > 0:
		return state.Volts
	case p.Volts > 0:
		return p.Volts
	}
	return p.Nominal
}

// addController stamps input, output and the side that both share.
func (n *network) addController(i int, state State, put put) {
	p := &n.circuit.Parts[i]
	k := &regulator{part: i, duty: float64(state.Duty), efficiency: float64(p.Efficiency), ohms: float64(p.Resistance), limit: float64(state.Limit)}
	if k.duty == 0 {
		k.duty = 1
	}
	if k.efficiency == 0 {
		k.efficiency = 1
	}
	for _, s := range n.op.Parts {
		if s.Draws > 0 {
			k.limit = 0
		}
	}
	k.gain = k.duty
	laws := [2]law{input, output}
	if state.Off {
		laws = [2]law{open, open}
	}
	k.in = put("in+", "in-", "input", branch{law: laws[0]})
	k.out = put("out-", "out+", "output", branch{law: laws[1]})
	n.branches[k.in].peer, n.branches[k.out].peer = k.out, k.in
	if p.CommonPositive {
		put("in+", "out+", "common", branch{})
	} else {
		put("in-", "out-", "common", branch{})
	}
	n.controllers = append(n.controllers, k)
	n.feedThrottle(p, put)
}

// reachable refuses a part of the circuit that no pack can ever reach, and loops
// without resistance.
func (n *network) reachable() error {
	joined := newGroups(len(n.nodes.named))
	bare := newGroups(len(n.nodes.named))
	powered := map[int]bool{}
	for _, b := range n.branches {
		joined.join(b.from, b.to)
		if b.law == resistive && b.ohms == 0 && !bare.join(b.from, b.to) {
			return &UndecidedError{n.nodes.named[b.from], n.nodes.named[b.to]}
		}
	}
	for i := range n.circuit.Parts {
		if p := &n.circuit.Parts[i]; p.Kind == Pack || p.Kind.charges() && n.op.Parts[p.Name].Current > 0 {
			powered[joined.root(n.nodes.at[Terminal{p.Name, "+"}])] = true
		}
	}
	for _, k := range n.converters { // an output of its own is held by the converter
		powered[joined.root(n.branches[k.out].from)] = true
	}
	for i, t := range n.nodes.named {
		if n.used[i] && !powered[joined.root(i)] {
			return &FloatingError{t}
		}
	}
	return nil
}

// feed turns off every controller whose input nothing can feed: with an open
// contact before it, its input would hang on nothing but itself.
func (n *network) feed() {
	g := newGroups(len(n.nodes.named))
	for _, b := range n.branches {
		if b.law == resistive || b.law == output {
			g.join(b.from, b.to)
		}
	}
	for _, d := range n.diodes {
		g.join(n.branches[d].from, n.branches[d].to)
	}
	for _, k := range n.controllers {
		in := &n.branches[k.in]
		if in.law == input && g.root(in.from) != g.root(in.to) {
			in.law, n.branches[k.out].law = open, open
			n.unfed = append(n.unfed, k.part)
		}
	}
	for _, k := range n.converters {
		if in := n.branches[k.in]; in.law == source && g.root(in.from) != g.root(in.to) {
			n.turnOff(k)
		}
	}
}

// islands finds what hangs together in the present state, and the node of each
// that is held at 0 V: the negative terminal of its first pack, or its first node.
func (n *network) islands() (g groups, ground map[int]int, powered map[int]bool) {
	g = newGroups(len(n.nodes.named))
	for _, b := range n.branches {
		if b.law != source && b.law != open {
			g.join(b.from, b.to)
		}
	}
	ground, powered = map[int]int{}, map[int]bool{}
	for i := range n.circuit.Parts {
		if p := &n.circuit.Parts[i]; p.Kind == Pack {
			if minus := n.nodes.at[Terminal{p.Name, "-"}]; !powered[g.root(minus)] {
				ground[g.root(minus)], powered[g.root(minus)] = minus, true
			}
		}
	}
	for _, k := range n.converters {
		if out := n.branches[k.out]; out.law == resistive && !powered[g.root(out.from)] {
			ground[g.root(out.from)], powered[g.root(out.from)] = out.from, true
		}
	}
	for i := range n.nodes.named {
		if _, has := ground[g.root(i)]; !has {
			ground[g.root(i)] = i
		}
	}
	return g, ground, powered
}
