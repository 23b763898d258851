package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// logGapCharge asks whether the gaps of a log hide much of its charge.
var logGapCharge = &rule{each: eachRun, judge: judgeLogGapCharge, doc: finding.Doc{
	Name: "log-gap-charge", Signal: finding.PropertyNotice,
	Title:   "Gaps hide part of the charge",
	What:    "Adds up the charge that straight lines across a log's gaps would have counted, and holds it against the charge that was counted. Above 5 % it speaks.",
	Why:     "The charge is what capacity and run time are judged by. Where a twentieth of it is a guess, so is what is quoted from it.",
	Needs:   "a log with currents",
	Formula: "most = 0.05 × charge counted",
	Source:  "5 %: own choice, no source",
	Example: "  log: {file: field-2.csv, gap: 20 s}",
}}

// hiddenPart is how much of a run's charge may lie in gaps.
const hiddenPart = 0.05

func judgeLogGapCharge(s *subject) []verdict {
	r := s.result()
	if r == nil || !r.Charge.Out.Known() {
		return nil
	}
	counted := r.Charge.Out.Value + r.Charge.In.Value
	var hidden quantity.AmpereHours
	for _, g := range r.Gaps {
		if !g.Restart { // how long that was is not known, and clock-jump says so
			hidden += max(g.LeftOut, -g.LeftOut)
		}
	}
	g := most("charge in gaps", hidden, hiddenPart*counted, "")
	if !(counted > 0) || !exceeds(g) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: s.run.EvidenceSpan(), gauge: g,
		text:   fmt.Sprintf("the gaps of this log hide about %s Ah beside the %s Ah that were counted", quantity.Figures(float64(hidden), 2), quantity.Figures(float64(counted), 3)),
		remedy: "say so where you quote the charge, or make the run again with a logger that keeps up."})
}
