package circuit

import (
	"math"
	"strconv"

	"voltwright/internal/quantity"
)

// put stamps a branch between two terminals of a part.
type put func(from, to, way string, b branch) int

// supply is a converter: its input draws what its output gives over the efficiency, and its idle current.
type supply struct {
	part             int
	in, out          int // branches
	idle, efficiency float64
	least            float64 // input voltage below which it gives up; 0: not stated
}

// addConverter stamps a converter. Its output is a voltage behind a resistance that takes nothing back; its input a current that is
// found by turns, Iin = Iidle + Vout·Iout/(η·Vin). Source: conservation of energy.
func (n *network) addConverter(i int, state State, put put) {
	p := &n.circuit.Parts[i]
	k := &supply{part: i, idle: float64(p.Idle), efficiency: float64(p.Efficiency), least: float64(p.Window.From)}
	if k.efficiency == 0 {
		k.efficiency = 1
	}
	k.in = put("in+", "in-", "input", branch{law: source, amps: k.idle})
	k.out = put("out-", "out+", "output", branch{ohms: float64(p.Resistance), drop: -float64(p.Nominal)})
	if !p.Isolated {
		put("in-", "out-", "common", branch{})
	}
	if state.Off || !(p.Nominal > 0) {
		n.branches[k.in].law, n.branches[k.out].law = open, open
	}
	n.converters = append(n.converters, k)
}

func (n *network) turnOff(k *supply) {
	n.branches[k.in].law, n.branches[k.out].law = open, open
	n.unfed = append(n.unfed, k.part)
}

func (n *network) assumeConverter(p *Part, note func(string)) {
	switch {
	case !(p.Nominal > 0):
		note("the voltage that it gives is not stated: it is left out")
	case p.Efficiency == 0:
		note("its efficiency is not stated: no loss is taken beside its idle current")
	}
	if p.Nominal > 0 && !(p.Idle > 0) {
		note("its idle current is not stated: none is taken")
	}
}

// adjustConverter brings the input of a converter to what its output gives.
func (n *network) adjustConverter(k *supply, x []float64) bool {
	in, out := &n.branches[k.in], &n.branches[k.out]
	if in.law != source {
		return false
	}
	nn := len(n.nodes.named)
	volts := x[in.from] - x[in.to]
	if volts < k.least || volts <= 0 {
		n.turnOff(k)
		return true
	}
	gives := 0.0
	switch amps := x[nn+k.out]; {
	case out.law == resistive && amps < -1e-9:
		out.law = open // another source holds its output higher
		return true
	case out.law == resistive:
		gives = (x[out.to] - x[out.from]) * amps
	}
	amps := k.idle + gives/(k.efficiency*volts)
	changed := math.Abs(amps-in.amps) > 1e-13*math.Max(1e-3, math.Abs(amps))
	in.amps = amps
	return changed
}

// accountConverter books what a converter loses: what goes in and does not come out.
func (s *Solution) accountConverter(n *network, in *Inside, b branch, amps float64) {
	if in.Way != "input" || b.law != source || n.last == nil {
		return
	}
	for _, k := range n.converters {
		if k.part == b.part {
			x, out := n.last, n.branches[k.out]
			lost := amps*(x[b.from]-x[b.to]) - (x[out.to]-x[out.from])*x[len(n.nodes.named)+k.out]
			in.Heat = quantity.Watts(lost)
			s.Taken += in.Heat
		}
	}
}

// addCells stamps a pack: a voltage behind a resistance, or where its cells are tapped one for each, alike.
func (n *network) addCells(p *Part, state State, put put) {
	volts, ohms := float64(p.sourceVolts(state)), float64(p.Resistance)
	if p.Cells < 2 {
		put("-", "+", "cells", branch{ohms: ohms, drop: -volts})
		return
	}
	from, share := "-", float64(p.Cells)
	for k := 1; k <= p.Cells; k++ {
		to := strconv.Itoa(k)
		if k == p.Cells {
			to = "+"
		}
		put(from, to, "cell "+strconv.Itoa(k), branch{ohms: ohms / share, drop: -volts / share})
		from = to
	}
}

// addSuppressor stamps a suppressor: a diode the one way, and a clamp the other, or one each way. Without a stated clamping voltage
// it does not conduct.
func (n *network) addSuppressor(p *Part, put put) {
	junction := func(from, to, way string, drop quantity.Volts) {
		n.diodes = append(n.diodes, put(from, to, way, branch{law: open, ohms: float64(p.Resistance), drop: float64(drop)}))
	}
	if !p.BothWays {
		junction("anode", "cathode", "junction", p.Volts)
	}
	if p.Clamps > 0 {
		junction("cathode", "anode", "clamp", p.Clamps)
		if p.BothWays {
			junction("anode", "cathode", "junction", p.Clamps)
		}
	}
}

// throttleWays are the branches of a throttle and of what feeds it: some milliamperes that no rating is held against.
const (
	trackUp   = "track to +"
	trackDown = "track to -"
	fed       = "reference"
	pull      = "pull-down"
)

func ofControls(way string) bool {
	return way == trackUp || way == trackDown || way == fed || way == pull
}

// addThrottle stamps the track of a throttle on both sides of its wiper, which stands at - when it is at rest.
func (n *network) addThrottle(p *Part, state State, put put) {
	track, at := float64(p.Resistance), min(max(float64(state.Duty), 0), 1)
	up, down := branch{ohms: track * (1 - at)}, branch{ohms: track * at}
	if track == 0 {
		up.law, down.law = open, open
	}
	put("+", "wiper", trackUp, up)
	put("wiper", "-", trackDown, down)
}

// feedThrottle stamps what a controller feeds its throttle with.
func (n *network) feedThrottle(p *Part, put put) {
	if p.Reference == 0 {
		return
	}
	put("in-", "throttle-", "common", branch{})
	put("throttle-", "throttle+", fed, branch{drop: -float64(p.Reference)})
	b := branch{ohms: float64(p.Pull)}
	if p.Pull == 0 {
		b.law = open
	}
	put("throttle", "throttle-", pull, b)
}
