package circuit

import (
	"fmt"
	"math"
)

// fuseTimes holds a fuse's opening times against what lasts only a while, a
// start or a hill: it has to hold through that.
func (j *judge) fuseTimes(fuse int) {
	for _, s := range j.solutions {
		op := &s.Point
		if op.Lasts == 0 || op.Kind == Stall {
			continue
		}
		v, g, err := j.gate(fuse, s, FuseHolds)
		if v.within && err != nil {
			v.OK, v.Quoted = true, Quoted{"as stated for " + j.c.Parts[fuse].Name, Stated} // it carries its rating, whatever its curve is
			j.give(v.Verdict, nil)
			continue
		}
		if err == nil && math.IsNaN(float64(g.Shortest)) {
			err = unjudged("the table gives no such time at %.3g times the rating", g.Ratio)
		}
		if err == nil {
			v.Limit, v.OK = number(g.Shortest), atMost(op.Lasts, g.Shortest)
			v.Remedy = "take a slower or greater fuse if the leads allow it."
		}
		j.give(v.Verdict, err)
	}
}

// gated is a verdict on a fuse's opening time; within tells that what flows is no more than its rating, at which no
// fuse or breaker opens.
type gated struct {
	Verdict
	within bool
}

// gate begins a verdict on a fuse's opening time at a point.
func (j *judge) gate(fuse int, s *Solution, rule Rule) (gated, Gate, error) {
	p := &j.c.Parts[fuse]
	amps := inside(fuse)(s)
	v := gated{Verdict: Verdict{Rule: rule, Subject: aboutPart(fuse, ""), Point: s.Point.Name, Number: number(s.Point.Lasts)}}
	if p.Current > 0 {
		v.within = atMost(amps, p.Current)
		v.Detail = fmt.Sprintf("%.3g A through it, %.3g times its rating", float64(amps), float64(amps/p.Current))
	}
	if p.Kind == Breaker {
		return v, Gate{}, unjudged("the time–current curve of %s is not at hand", p.Name)
	}
	g, err := GateAt(p.FuseKind, p.Current, amps)
	v.Quoted = g.Quoted
	return v, g, err
}
