package circuit

import (
	"math"
	"slices"

	"voltwright/internal/quantity"
)

// solution turns the unknowns into results.
func (n *network) solution(x []float64) *Solution {
	c := n.circuit
	g, _, powered := n.islands()
	nn := len(n.nodes.named)
	s := &Solution{Point: *n.op, Leads: make([]LeadResult, len(c.Leads)), volts: x[:nn], floating: make([]bool, nn), nodes: n.nodes, Unfed: n.unfed, Assumed: n.assumed}
	slices.Sort(s.Unfed)
	for i := range nn {
		s.floating[i] = !powered[g.root(i)]
	}
	for i, b := range n.branches {
		amps := x[nn+i] + 0 // no −0
		drop := x[b.from] - x[b.to]
		if b.part < 0 {
			_, _, known := c.Leads[b.lead].resistance()
			r := LeadResult{Current: quantity.Amperes(amps), Drop: quantity.Volts(drop), Heat: quantity.Watts(amps * amps * b.ohms), Resistance: quantity.Ohms(b.ohms)}
			if !known {
				r.Missing = "its size or length is not stated"
			}
			s.Leads[b.lead] = r
			s.Taken += r.Heat
			continue
		}
		in := Inside{Part: b.part, Way: b.way, From: n.nodes.named[b.from], To: n.nodes.named[b.to], Current: quantity.Amperes(amps), Drop: quantity.Volts(drop)}
		if b.law == open {
			in.Drop = 0
			if g.root(b.from) == g.root(b.to) {
				in.Drop = quantity.Volts(drop)
			}
		}
		s.account(n, &in, b, amps, drop)
		s.Inside = append(s.Inside, in)
	}
	for _, k := range n.controllers {
		if k.limited {
			s.Limited = append(s.Limited, k.part)
		}
	}
	s.packs(n)
	s.loads(n)
	return s
}

// account adds one branch of a part to the balance of power.
func (s *Solution) account(n *network, in *Inside, b branch, amps, drop float64) {
	give := func(p float64) { // positive: supplied to the circuit
		if p > 0 {
			s.Supplied += quantity.Watts(p)
		} else {
			s.Taken -= quantity.Watts(p)
		}
	}
	if n.circuit.Parts[b.part].Kind == Converter {
		s.accountConverter(n, in, b, amps)
		return
	}
	switch b.law {
	case source:
		give(-amps * drop)
	case input: // what goes in and does not come out of the output is lost in the controller
		in.Heat = quantity.Watts(n.controllerLoss(b, amps, drop))
		s.Taken += in.Heat
	case output:
	case resistive:
		lost := amps * amps * b.ohms
		kind := n.circuit.Parts[b.part].Kind
		if kind == Diode || kind == Suppressor {
			lost += amps * b.drop
		} else {
			give(-amps * b.drop)
		}
		in.Heat = quantity.Watts(lost)
		s.Taken += in.Heat
	}
}

// controllerLoss is the power into a controller less the power out of it.
func (n *network) controllerLoss(in branch, amps, drop float64) float64 {
	out := n.branches[in.peer]
	if n.last == nil {
		return 0
	}
	x, nn := n.last, len(n.nodes.named)
	return amps*drop - (x[out.to]-x[out.from])*x[nn+in.peer]
}

// packs fills in what each pack gives; of one with taps its cells together, and the greatest current in any of them.
func (s *Solution) packs(n *network) {
	var total float64
	for _, in := range s.Inside {
		if n.circuit.Parts[in.Part].Kind != Pack {
			continue
		}
		if last := len(s.Packs) - 1; last >= 0 && s.Packs[last].Part == in.Part {
			p := &s.Packs[last]
			p.Volts -= in.Drop
			if math.Abs(float64(in.Current)) > math.Abs(float64(p.Current)) {
				p.Current = in.Current
			}
			continue
		}
		s.Packs = append(s.Packs, PackResult{Part: in.Part, Current: in.Current, Volts: -in.Drop})
	}
	for i := range s.Packs {
		total += max(0, float64(s.Packs[i].Current))
	}
	for i := range s.Packs {
		if p := &s.Packs[i]; p.Current > 0 {
			p.Share = quantity.Fraction(float64(p.Current) / total)
		}
	}
}
