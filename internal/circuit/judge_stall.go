package circuit

import (
	"math"
	"slices"
)

// stalls judges, at every stall, whether a fuse opens before a motor is hurt: of
// the fuses that feed a stalled motor one must, and then the others need not.
func (j *judge) stalls() {
	for _, s := range j.solutions {
		if s.Point.Kind != Stall {
			continue
		}
		type one struct {
			v   Verdict
			err error
		}
		var all []one
		var quick []int
		for _, fuse := range j.feeding(s) {
			if s.Point.Lasts == 0 {
				j.give(Verdict{Rule: FuseOpensAtStall, Subject: aboutPart(fuse, ""), Point: s.Point.Name}, unjudged("how long the motor stands a stall is not stated"))
				continue
			}
			v, g, err := j.gate(fuse, s, FuseOpensAtStall)
			v.Remedy = "take a smaller or faster fuse, or a controller that limits the current."
			switch late := math.IsNaN(float64(g.Longest)); {
			case v.within:
				err = nil
				v.Quoted = v.also(Quoted{"as stated for " + j.c.Parts[fuse].Name, Stated})
				v.Detail += ": it does not open"
			case err != nil:
			case late:
				err = unjudged("the table gives no such time at %.3g times the rating", g.Ratio)
			default:
				if v.Limit, v.OK = number(g.Longest), atMost(g.Longest, s.Point.Lasts); v.OK {
					quick = append(quick, fuse)
				}
			}
			all = append(all, one{v.Verdict, err})
		}
		saved := len(quick) > 0 && j.saved(s, quick)
		for _, o := range all {
			if saved && !o.v.OK {
				o.v.OK, o.err, o.v.Remedy = true, nil, ""
				o.v.Detail += "; before it opens " + j.names(quick)
			}
			j.give(o.v, o.err)
		}
	}
}

// feeding lists the fuses and breakers that carry something of what stalled
// motors take: their current is less without the motors, or goes the other way. What only
// gets less because the packs' voltage sags is no feed.
func (j *judge) feeding(s *Solution) []int {
	bare := *j.c
	bare.Parts = slices.Clone(j.c.Parts)
	op := s.Point
	op.Parts = map[string]State{}
	for i := range bare.Parts {
		p := &bare.Parts[i]
		state := s.Point.Parts[p.Name]
		if p.Kind == Motor {
			p.Resistance, state.Draws = 1e9, 0
		}
		op.Parts[p.Name] = state
	}
	without, err := bare.Solve(op)
	var all []int
	for i := range j.c.Parts {
		if !protects(j.c.Parts[i].Kind) {
			continue
		}
		with := through(i, s)
		if err == nil && math.Abs(with) <= math.Max(0, through(i, without)*math.Copysign(1, with))+0.001*float64(j.c.Parts[i].Current) {
			continue
		}
		all = append(all, i)
	}
	return all
}

// through is the current through a fuse or breaker, positive from in to out.
func through(part int, s *Solution) float64 {
	for _, in := range s.Inside {
		if in.Part == part {
			return float64(in.Current)
		}
	}
	return 0
}

// saved tells whether every stalled motor is cut off once the quick fuses have
// opened: one of its ends then reaches neither a pack nor a controller.
func (j *judge) saved(s *Solution, quick []int) bool {
	n := j.nets.nodes
	at := s.Point.positionOf
	cut := &nets{newGroups(len(n.named)), n}
	open := func(p *Part) bool {
		return slices.ContainsFunc(quick, func(i int) bool { return j.c.Parts[i].Name == p.Name })
	}
	for _, e := range j.c.edges(n, at, func(p *Part) bool { return passing(p) && !open(p) }) {
		cut.join(e.a, e.b)
	}
	sources := map[int]bool{}
	for i := range j.c.Parts {
		if p := &j.c.Parts[i]; p.Kind == Pack || p.Kind == Controller {
			for _, spec := range p.Terminals() {
				sources[cut.of(Terminal{p.Name, spec.Name})] = true
			}
		}
	}
	for i := range j.c.Parts {
		m := &j.c.Parts[i]
		if m.Kind == Motor && inside(i)(s) > 0 && sources[cut.of(Terminal{m.Name, "+"})] && sources[cut.of(Terminal{m.Name, "-"})] {
			return false
		}
	}
	return true
}
