package circuit

import (
	"math"

	"voltwright/internal/quantity"
)

// loads fills in what arrives at each load and what was lost on the way: in leads, in parts that pass the current on
// and in diodes that conduct, on both sides of it. What other loads in series with it take is not lost.
func (s *Solution) loads(n *network) {
	c := n.circuit
	nets := c.nets(n.op.positionOf, passing)
	for _, d := range n.diodes {
		if b := n.branches[d]; b.law == resistive {
			nets.join(b.from, b.to)
		}
	}
	var packs []int // the nodes that are fed from
	for i := range c.Parts {
		if p := &c.Parts[i]; p.Kind == Pack {
			packs = append(packs, n.nodes.at[Terminal{p.Name, "+"}], n.nodes.at[Terminal{p.Name, "-"}])
		}
	}
	for _, in := range s.Inside {
		p := &c.Parts[in.Part]
		var load bool
		switch p.Kind {
		case Motor, Lamp, Horn:
			load = true
		case Controller, Converter:
			load = in.Way == "input"
		}
		if !load || in.Current == 0 {
			continue
		}
		from, to, feeds := n.nodes.at[in.From], n.nodes.at[in.To], packs
		for _, k := range n.controllers {
			out := n.branches[k.out]
			switched := out.to // the side that is not in common with the packs
			if c.Parts[k.part].CommonPositive {
				switched = out.from
			}
			if net := nets.root(switched); in.Part != k.part && (nets.root(from) == net || nets.root(to) == net) {
				feeds = []int{out.from, out.to}
			}
		}
		for _, k := range n.converters {
			if out := n.branches[k.out]; in.Part != k.part && (nets.root(from) == nets.root(out.to) || nets.root(to) == nets.root(out.to)) {
				feeds = []int{out.from, out.to}
			}
		}
		if s.volts[from] < s.volts[to] {
			from, to = to, from
		}
		r := LoadResult{Part: in.Part, Volts: in.Drop, Current: in.Current}
		drop := s.lost(nets, feeds, from, 1) + s.lost(nets, feeds, to, -1)
		r.Drop = quantity.Volts(drop)
		if supply := drop + math.Abs(float64(in.Drop)); supply > 0 {
			r.Share = quantity.Fraction(drop / supply)
		}
		s.Loads = append(s.Loads, r)
	}
}

// lost is what is lost between what feeds one end of a load, the higher (sign 1) or the lower one (−1), and that end:
// of several packs the one farthest off tells. An end that no pack or controller is joined to is fed through another
// load, and what its leads and contacts lose is the greatest voltage between any two terminals there.
func (s *Solution) lost(nets *nets, feeds []int, end int, sign float64) float64 {
	net := nets.root(end)
	fed, farthest := false, math.Inf(-1)
	for _, node := range feeds {
		if nets.root(node) == net {
			fed, farthest = true, max(farthest, sign*(s.volts[node]-s.volts[end]))
		}
	}
	if fed {
		return farthest
	}
	high, low := s.volts[end], s.volts[end]
	for node, volts := range s.volts {
		if nets.root(node) == net {
			high, low = max(high, volts), min(low, volts)
		}
	}
	return high - low
}
