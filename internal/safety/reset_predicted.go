package safety

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// resetPredicted asks whether a cutout that no run has yet seen open would close again by itself.
var resetPredicted = &rule{each: eachVersion, judge: judgeResetPredicted, doc: finding.Doc{
	Name: "reset-predicted", Signal: finding.SignalWarning,
	Title:   "The cutout is predicted to switch itself back on",
	What:    "Where no run of the version shows the cutout opening, holds the voltage that the packs are predicted to come back to against the reset point. A WARNING where it is more likely than not, a CAUTION where it is likelier than 1 in 20.",
	Why:     "A cutout that closes again by itself starts the vehicle without anyone's hand on it, opens again under the load, and chatters.",
	Needs:   "`opens` and `reset-threshold` of the cutout, and a load from a run or a motor's rated power",
	Formula: "as the formula for what a cutout does after it has opened: rest voltage four hours later against opening + threshold",
	Source:  "1 in 20: the usual level of a two-sided 95 % interval, JCGM 100:2008, 6.2 (confirmed); that it is the right one here is own choice, no source",
	Example: "  cutout: {opens: 24.6 V, reset-threshold: 1.9 V}",
}}

// seldom is the chance up to which nothing is said.
const seldom = 0.05

func judgeResetPredicted(s *subject) []verdict {
	c := s.version.Cutout
	if c == nil || !c.Opens.Known() {
		return nil
	}
	for _, r := range s.version.Runs {
		if result := s.of(r); result != nil && result.Cutout != nil {
			return nil // a run shows it, and reset-margin judges that
		}
	}
	if !c.Threshold.Known() {
		return cannot(c.Span, "whether the cutout stays open", "its reset threshold is not stated", "state `reset-threshold`.")
	}
	a := s.answers()
	if a == nil || a.Chatter == nil || a.Chatter.Err != "" || math.IsNaN(a.Chatter.Likely) {
		return nil // the page says why nothing was predicted
	}
	k := a.Chatter
	if !above(quantity.Number(k.Likely), seldom) {
		return nil
	}
	v := verdict{signal: finding.Caution, at: c.Threshold.Span, gauge: gaugeOfChance(k.Likely),
		text:   fmt.Sprintf("after the cutout has opened the packs are predicted to come back to %s, and its reset point is %s: the chance that it switches the load on again by itself is %s", k.Rebound, quantity.Brief(k.Reset), chance(k.Likely)),
		remedy: "raise the reset threshold, or use a cutout that stays open until it is reset by hand. Until a run has shown it, switch the vehicle off by hand each time it has opened."}
	if k.Likely > 0.5 {
		v.signal = finding.SignalWarning
	}
	return said(v)
}

// gaugeOfChance holds the chance against the one that nothing is said of. The rest voltage itself may lie below the reset point.
func gaugeOfChance(p float64) *finding.Gauge {
	g := &finding.Gauge{What: "chance that it closes again by itself", Value: p, Limit: seldom, Written: chance(p), Bound: share(seldom)}
	if p < 0.1 {
		g.Written = share(math.Round(1000*p) / 1000)
	}
	return g
}

// chance puts a probability in words; no prediction is sure of itself.
func chance(p float64) string {
	if p > 0.99 {
		return "more than 99 %"
	}
	return share(math.Round(100*p) / 100)
}
