package circuit

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"voltwright/internal/quantity"
)

// LeadResult is what one lead does at an operating point.
type LeadResult struct {
	Current    quantity.Amperes // positive from From to To
	Drop       quantity.Volts   // from From to To
	Heat       quantity.Watts
	Resistance quantity.Ohms // at its ambient temperature
	Missing    string        // why the resistance is taken as 0; "" if it is known
}

// Inside is the current through one way of a part: a contact, a fuse, a motor,
// the output of a controller.
type Inside struct {
	Part     int
	Way      string
	From, To Terminal
	Current  quantity.Amperes // positive from From to To
	Drop     quantity.Volts   // from From to To; of a pack that discharges negative
	Heat     quantity.Watts   // lost in its resistance or in a diode's drop
}

// LoadResult is what arrives at a load.
type LoadResult struct {
	Part    int
	Volts   quantity.Volts    // at its terminals
	Current quantity.Amperes  // into its + or first terminal
	Drop    quantity.Volts    // lost on the way from the packs, there and back; behind a controller: from the controller
	Share   quantity.Fraction // the drop over the voltage at the packs; behind a controller: over that of its output
}

// PackResult is what one pack gives.
type PackResult struct {
	Part    int
	Current quantity.Amperes  // positive on discharge
	Volts   quantity.Volts    // at its terminals
	Share   quantity.Fraction // of the current of all packs that discharge; 0 for one that is charged
}

// Solution is a circuit at an operating point.
type Solution struct {
	Point  OperatingPoint
	Leads  []LeadResult
	Inside []Inside
	Loads  []LoadResult
	Packs  []PackResult

	Limited  []int          // controllers that hold their current limit
	Unfed    []int          // motors and controllers that nothing feeds in this state
	Supplied quantity.Watts // by packs, chargers and motors that brake, behind their resistance
	Taken    quantity.Watts // by everything else; equal to Supplied within rounding

	volts    []float64
	floating []bool
	nodes    *nodes
}

// Volts is the voltage of a terminal against the negative terminal of the first
// pack of its network. A terminal that open contacts cut off from every pack is
// afloat, and ok is false.
func (s *Solution) Volts(t Terminal) (v quantity.Volts, ok bool) {
	n, known := s.nodes.at[t]
	if !known || s.floating[n] {
		return quantity.Volts(math.NaN()), false
	}
	return quantity.Volts(s.volts[n]), true
}

// FloatingError names a terminal of a network that no pack is part of, whatever
// the contacts do.
type FloatingError struct{ Terminal Terminal }

func (e *FloatingError) Error() string {
	return fmt.Sprintf("%s floats: nothing joins it to a pack", e.Terminal)
}

// UndecidedError names two terminals between which more than one path has no
// resistance, so that the share of each cannot be told.
type UndecidedError struct{ From, To Terminal }

func (e *UndecidedError) Error() string {
	return fmt.Sprintf("more than one path without resistance joins %s and %s, so what each carries cannot be told: state the length of a lead or a resistance", e.From, e.To)
}

// ReversedError names a controller whose input is negative at an operating point.
type ReversedError struct {
	Part  int
	Volts quantity.Volts
}

func (e *ReversedError) Error() string {
	return fmt.Sprintf("the input of the speed controller is at %.3g V, the wrong way round", float64(e.Volts))
}

// UnsettledError says that no state of diodes, chargers and controllers agrees
// with itself: mostly a controller that is to hold a current that the packs
// cannot give.
type UnsettledError struct{ Point string }

func (e *UnsettledError) Error() string {
	return fmt.Sprintf("no steady state is found at %q: the packs cannot give what is asked, or a charger has nothing to charge", e.Point)
}

// Solve finds every voltage and current at an operating point by modified nodal
// analysis (C. W. Ho, A. E. Ruehli, P. A. Brennan, IEEE Trans. Circuits Syst.
// CAS-22 (1975) 504, from memory): Kirchhoff's current law at every node, the law
// of every branch, one matrix, LU factors.
//
// A pack is a voltage behind a resistance. A controller of duty d gives
// Vout = d·Vin − R·Iout and takes Iin = d·Iout/η, with Iin = d·Iout·η when its
// motor brakes; one that reaches its limit holds the current and finds its duty.
// A motor is a resistance and a back-EMF, or a given current. A diode is open, or
// a drop and a slope. A charger gives its current up to its voltage. These are
// found by turns until all agree.
//
// The circuit must pass Check. Errors: *FloatingError, *UndecidedError,
// *ReversedError, *UnsettledError. Results are finite.
func (c *Circuit) Solve(op OperatingPoint) (*Solution, error) {
	n, err := c.network(&op)
	if err != nil {
		return nil, err
	}
	x, err := n.settle()
	if err != nil {
		return nil, err
	}
	n.last = x
	return n.solution(x), nil
}

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
	controllers []*converter
	drawn       []drawn

	unfed []int
	last  []float64 // the solution
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

// converter is a controller.
type converter struct {
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
	n := &network{circuit: c, op: op, nodes: c.nodes()}
	n.used = make([]bool, len(n.nodes.named))
	for i := range c.Leads {
		l := &c.Leads[i]
		from, okFrom := n.nodes.at[l.From]
		to, okTo := n.nodes.at[l.To]
		if !okFrom || !okTo {
			return nil, fmt.Errorf("lead %d goes from %s to %s, and one of them does not exist", i+1, l.From, l.To)
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
		volts := float64(p.sourceVolts(state))
		put("-", "+", "cells", branch{ohms: float64(p.Resistance), drop: -volts})
	case ChargerSocket:
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
	case Resistor, Lamp, Horn:
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
func (n *network) addController(i int, state State, put func(from, to, way string, b branch) int) {
	p := &n.circuit.Parts[i]
	k := &converter{part: i, duty: float64(state.Duty), efficiency: float64(p.Efficiency), ohms: float64(p.Resistance), limit: float64(state.Limit)}
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
		if p := &n.circuit.Parts[i]; p.Kind == Pack || p.Kind == ChargerSocket && n.op.Parts[p.Name].Current > 0 {
			powered[joined.root(n.nodes.at[Terminal{p.Name, "+"}])] = true
		}
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
	for i := range n.nodes.named {
		if _, has := ground[g.root(i)]; !has {
			ground[g.root(i)] = i
		}
	}
	return g, ground, powered
}

// linear solves the network as it stands. Unknowns: the voltage of every node,
// the current of every branch, and the duty of every controller.
func (n *network) linear() ([]float64, error) {
	g, ground, _ := n.islands()
	nn, nb := len(n.nodes.named), len(n.branches)
	size := nn + nb + len(n.controllers)
	a := mat.NewDense(size, size, nil)
	b := mat.NewVecDense(size, nil)
	grounded := make([]bool, nn)
	for _, i := range ground {
		grounded[i] = true
		a.Set(i, i, 1)
	}
	for i, br := range n.branches {
		at := nn + i
		if !grounded[br.from] {
			a.Set(br.from, at, a.At(br.from, at)+1)
		}
		if !grounded[br.to] {
			a.Set(br.to, at, a.At(br.to, at)-1)
		}
		switch br.law {
		case resistive:
			a.Set(at, br.from, a.At(at, br.from)+1)
			a.Set(at, br.to, a.At(at, br.to)-1)
			a.Set(at, at, -br.ohms)
			b.SetVec(at, br.drop)
		case source:
			if g.root(br.from) != g.root(br.to) {
				return nil, &UnsettledError{n.op.Name}
			}
			a.Set(at, at, 1)
			b.SetVec(at, br.amps)
		case open:
			a.Set(at, at, 1)
		}
	}
	for i, k := range n.controllers {
		n.stampController(a, b, k, nn+nb+i)
	}
	var lu mat.LU
	lu.Factorize(a)
	x := mat.NewVecDense(size, nil)
	if err := lu.SolveVecTo(x, false, b); err != nil {
		if _, ill := err.(mat.Condition); !ill || lu.Det() == 0 {
			return nil, &UnsettledError{n.op.Name}
		}
	}
	// One step of iterative refinement: milliohms stand beside megohms.
	residual, step := mat.NewVecDense(size, nil), mat.NewVecDense(size, nil)
	residual.MulVec(a, x)
	residual.SubVec(b, residual)
	if err := lu.SolveVecTo(step, false, residual); err == nil {
		x.AddVec(x, step)
	}
	for i := range size {
		if v := x.AtVec(i); math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, &UnsettledError{n.op.Name}
		}
	}
	return x.RawVector().Data, nil
}

// stampController writes the three equations of a controller: its output, its
// input, its duty.
func (n *network) stampController(a *mat.Dense, b *mat.VecDense, k *converter, duty int) {
	nn := len(n.nodes.named)
	in, out := n.branches[k.in], n.branches[k.out]
	atIn, atOut := nn+k.in, nn+k.out
	a.Set(duty, duty, 1)
	if in.law != input {
		return // off: both branches are open, and the duty is 0
	}
	loss := k.loss()
	plus := func(row, column int, v float64) { a.Set(row, column, a.At(row, column)+v) }
	if !k.limited {
		b.SetVec(duty, k.duty)
		// V(out+) − V(out−) − d·Vin + R·Iout = 0, with out.from = out−
		plus(atOut, out.to, 1)
		plus(atOut, out.from, -1)
		plus(atOut, in.from, -k.duty)
		plus(atOut, in.to, k.duty)
		plus(atOut, atOut, k.ohms)
		plus(atIn, atIn, 1)
		plus(atIn, atOut, -k.duty*loss)
		return
	}
	held := math.Copysign(k.limit, k.gain)
	plus(atOut, atOut, 1)
	b.SetVec(atOut, held)
	plus(atIn, atIn, 1)
	if k.fresh {
		return // first the voltages without its input current
	}
	plus(atIn, duty, -held*loss)
	// V(out) + R·I = d·Vin, linear about d₀ = gain and V₀ = around
	a.Set(duty, duty, -k.around)
	plus(duty, out.to, 1)
	plus(duty, out.from, -1)
	plus(duty, in.from, -k.gain)
	plus(duty, in.to, k.gain)
	b.SetVec(duty, -k.ohms*held-k.gain*k.around)
}

// loss is by how much more the input carries than the duty says.
func (k *converter) loss() float64 {
	if k.brakes {
		return k.efficiency
	}
	return 1 / k.efficiency
}

// settle solves by turns until diodes, chargers, controllers and motors agree.
func (n *network) settle() ([]float64, error) {
	const turns = 200
	for turn := range turns {
		x, err := n.linear()
		if err != nil {
			return nil, err
		}
		if !n.adjust(x, turn > turns/4) {
			return x, n.reversed(x)
		}
	}
	return nil, &UnsettledError{n.op.Name}
}

// reversed refuses a solution in which a controller is fed the wrong way round,
// of which its average says nothing.
func (n *network) reversed(x []float64) error {
	for _, k := range n.controllers {
		in := n.branches[k.in]
		if volts := x[in.from] - x[in.to]; in.law == input && volts < -1e-6 {
			return &ReversedError{k.part, quantity.Volts(volts)}
		}
	}
	return nil
}

// adjust changes what does not agree with a solution and tells whether
// anything did; one change only if one is asked for, which ends cycles.
func (n *network) adjust(x []float64, one bool) bool {
	nn, nb := len(n.nodes.named), len(n.branches)
	across := func(b *branch) float64 { return x[b.from] - x[b.to] }
	changed := false
	for _, d := range n.diodes {
		b := &n.branches[d]
		switch {
		case b.law == open && across(b) > b.drop+1e-9:
			b.law, changed = resistive, true
		case b.law == resistive && x[nn+d] < -1e-9:
			b.law, changed = open, true
		}
		if changed && one {
			return true
		}
	}
	for i := range n.chargers {
		c := &n.chargers[i]
		b := &n.branches[c.branch]
		switch {
		case b.law == resistive && x[nn+c.branch] > c.amps*(1+1e-12):
			b.law, b.amps, changed = source, c.amps, true
		case b.law == source && -across(b) > c.volts*(1+1e-12):
			b.law, changed = resistive, true
		case b.law == resistive && x[nn+c.branch] < -1e-9:
			b.law, changed = open, true // a charger takes nothing back
		}
	}
	for i := range n.drawn {
		d := &n.drawn[i]
		b := &n.branches[d.branch]
		if d.mode != probing {
			continue
		}
		changed = true
		if math.Abs(x[nn+d.branch]) < 1e-9 {
			d.mode, b.law = unfed, open
			n.unfed = append(n.unfed, b.part)
		} else {
			d.mode, b.law, b.amps = drawing, source, math.Copysign(d.amps, x[nn+d.branch])
		}
	}
	for i, k := range n.controllers {
		if n.branches[k.in].law == input && n.adjustController(k, x, x[nn+nb+i]) {
			changed = true
		}
	}
	return changed
}

func (n *network) adjustController(k *converter, x []float64, duty float64) bool {
	nn := len(n.nodes.named)
	in := n.branches[k.in]
	volts, amps := x[in.from]-x[in.to], x[nn+k.out]
	changed := false
	if brakes := k.gain*amps < -1e-9; brakes != k.brakes && !k.fresh {
		k.brakes, changed = brakes, true
	}
	if !k.limited {
		if k.limit > 0 && math.Abs(amps) > k.limit*(1+1e-12) && !k.brakes {
			k.limited, k.fresh, changed = true, true, true
		}
		return changed
	}
	if k.fresh {
		out := n.branches[k.out]
		k.fresh, k.around = false, volts
		if volts != 0 {
			k.gain = (x[out.to] - x[out.from] + k.ohms*amps) / volts
		}
		return true
	}
	if math.Abs(duty) > math.Abs(k.duty)*(1+1e-9) { // it would have to give more than it is set to
		k.limited, k.gain = false, k.duty
		return true
	}
	if math.Abs(duty-k.gain) > 1e-13*math.Abs(k.duty) || math.Abs(volts-k.around) > 1e-12*math.Abs(volts) {
		changed = true
	}
	k.gain, k.around = duty, volts
	return changed
}
