package circuit

import (
	"math"

	"voltwright/internal/quantity"
)

// leastSizes judges the leads against the least conductor that 33 CFR 183.425
// allows, where that is the table in use: stranded copper of 16 AWG, or of
// 18 AWG in a sheath the whole way. A lead that carries no more than a signal at any
// point that was solved is left out: nothing drives by it. Each lead that fails is told; where all hold,
// the one that comes nearest stands for them.
func (j *judge) leastSizes() {
	if j.c.Table != "" && j.c.Table != FederalRegulations {
		return
	}
	nearest, failed := Verdict{}, false
	margin := math.Inf(1)
	for i := range j.c.Leads {
		l := &j.c.Leads[i]
		if most, _, any := j.worstCurrent(func(*OperatingPoint) bool { return true }, func(s *Solution) quantity.Amperes { return s.Leads[i].Current }); any && most > 0 && most <= signal {
			continue
		}
		if j.c.balances(i) {
			continue
		}
		v := Verdict{Rule: ConductorSize, Subject: aboutLead(i, -1), Quoted: Quoted{"33 CFR 183.425 (text of the law, read at a mirror, federal.elaws.us)", Confirmed}}
		if !(l.Size.Area > 0) {
			j.give(v, unjudged("the size of the lead is not stated"))
			failed = true
			continue
		}
		least := quantity.GaugeArea(16)
		if l.Sheathed {
			least = quantity.GaugeArea(18)
			v.Detail = "sheathed the whole way"
		}
		v.Number, v.Limit, v.OK = number(l.Size.Area), number(least), atMost(least, l.Size.Area)
		v.Remedy = "take a thicker lead: a thin one breaks where it is shaken, whatever it carries."
		if l.class() == Solid {
			v.OK, v.Detail = false, "a single wire, where stranded copper is asked for"
			v.Remedy = "take a stranded lead: a single wire breaks where it is shaken."
		}
		if !v.OK {
			j.give(v, nil)
			failed = true
		} else if spare := float64(l.Size.Area / least); spare < margin {
			nearest, margin = v, spare
		}
	}
	if !failed && !math.IsInf(margin, 1) {
		j.give(nearest, nil)
	}
}

// signal is the greatest current of a lead that carries a signal: a sense lead, a
// key, a display. Own choice.
const signal quantity.Amperes = 0.5
