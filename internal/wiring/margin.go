package wiring

import (
	"cmp"
	"math"
	"slices"

	"voltwright/internal/circuit"
)

// Near is the part of a limit from which on a value is near it: own choice, no source.
const Near = 0.75

// Margin is how much of a limit a verdict that holds has used up.
type Margin struct {
	Verdict int     // index among the analysis's verdicts
	Used    float64 // part of the limit; above 1 where it does not hold
}

// limits are the rules that hold a value against a limit that it may come near to. What fits or does not, such as a ferrule,
// has no margin. The value true says that the limit is the least that may be.
var limits = map[circuit.Rule]bool{
	circuit.LeadAmpacity: false, circuit.FuseSavesLead: false, circuit.FuseInterrupts: false, circuit.FuseVolts: false, circuit.FusePlacement: false,
	circuit.FuseHolds: false, circuit.FuseOpensAtStall: false, circuit.LastingCurrent: false, circuit.PeakCurrent: false, circuit.ContactDirect: false,
	circuit.PartVolts: false, circuit.LoadVoltsHigh: false, circuit.ResistorHeat: false, circuit.SuppressorClamps: false,
	circuit.ConductorSize: true, circuit.FuseCarriesLoad: true, circuit.LoadVoltsLow: true, circuit.ConverterInput: true,
}

// Margins are what was judged of an analysis by a limit, the nearest to its limit first. A limit that a part enforces
// itself is none: a controller that holds its current at its own rating stands at 100 % whenever it does what it is made for.
func (a *Analysis) Margins() []Margin {
	var out []Margin
	for i := range a.Verdicts {
		v := &a.Verdicts[i]
		least, limited := limits[v.Rule]
		if !limited || v.CannotJudge != "" || a.enforced(v) {
			continue
		}
		used := v.Number.Value / v.Limit.Value
		if least {
			used = 1 / used
		}
		if v.Rule == circuit.FuseOpensAtStall { // the time that the motor stands, against the longest that the fuse takes
			used = v.Limit.Value / v.Number.Value
		}
		if math.IsNaN(used) || math.IsInf(used, 0) {
			continue
		}
		out = append(out, Margin{i, used})
	}
	slices.SortStableFunc(out, func(x, y Margin) int { return cmp.Compare(y.Used, x.Used) })
	return out
}

// enforced tells whether the part that a verdict is about holds the current at its limit itself at the point that decided.
func (a *Analysis) enforced(v *circuit.Verdict) bool {
	if v.Rule != circuit.LastingCurrent && v.Rule != circuit.PeakCurrent || v.Subject.Part < 0 {
		return false
	}
	for _, s := range a.Solutions {
		if s.Point.Name == v.Point && slices.Contains(s.Limited, v.Subject.Part) {
			return true
		}
	}
	return false
}

// Judged counts the rules of an analysis that judged something, those of them that something exceeds, and the things that no
// rule could judge.
func (a *Analysis) Judged() (rules, exceeded, unjudged int) {
	judged, fails := map[circuit.Rule]bool{}, map[circuit.Rule]bool{}
	for i := range a.Verdicts {
		switch v := &a.Verdicts[i]; {
		case v.CannotJudge != "":
			unjudged++
		default:
			judged[v.Rule] = true
			if !v.OK {
				fails[v.Rule] = true
			}
		}
	}
	return len(judged), len(fails), unjudged
}
