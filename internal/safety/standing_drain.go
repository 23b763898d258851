package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// standingDrain asks how long a full pack lasts against what draws from it at rest.
var standingDrain = &rule{each: eachRun, judge: judgeStandingDrain, doc: finding.Doc{
	Name: "standing-drain", Signal: finding.PropertyNotice,
	Title:   "Standby current drains the pack",
	What:    "Divides the packs' capacity by the mean current of a rest, and asks whether a full pack would be empty within 30 days.",
	Why:     "A cutout's own current passes it even when it has opened. A vehicle that is put away after a run has far less than a full pack.",
	Needs:   "`capacity` of every pack, and a rest with currents",
	Formula: "t = Q / I",
	Units:   "days; Q in Ah, I in A, 24 h to the day",
	Source:  "30 days: own choice, no source",
	Example: "  type: rest",
}}

func judgeStandingDrain(s *subject) []verdict {
	_, _, _, ok := s.rested()
	capacity, known := s.capacity()
	if !ok || !known {
		return nil
	}
	amps := s.result().MeanCurrent
	if !(amps.Value > 0) {
		return nil // nothing flows, or it was not measured
	}
	days := float64(capacity) / float64(amps.Value) / 24
	if days > drainWithin {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: s.run.EvidenceSpan(), gauge: gaugeOfDays(days),
		text:   fmt.Sprintf("at rest %s flow: a full pack of %s is empty in %.0f days, and a used one sooner", amps, quantity.Brief(capacity), days),
		remedy: "fit a switch that takes everything off the pack, and use it whenever the vehicle is put away."})
}

func gaugeOfDays(days float64) *finding.Gauge {
	return &finding.Gauge{What: "days until a full pack is empty", Value: days, Limit: drainWithin, Written: fmt.Sprintf("%.0f days", days), Bound: fmt.Sprintf("%.0f days", drainWithin), Least: true}
}
