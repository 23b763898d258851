package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// fuseAboveLead asks whether each fuse saves the leads behind it.
var fuseAboveLead = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.FuseSavesLead}, question: "whether each fuse saves the leads behind it", what: "rating of the fuse",
	signal: beyond(1.25, finding.Caution, finding.SignalWarning),
	text: func(f *failing) string {
		return fmt.Sprintf("%s is rated for %s, and %s behind it is saved by no more than %s: in a fault the lead burns before the fuse opens", f.others(""), brief(f.Number), f.name(), brief(f.Limit))
	},
	remedy: first("put in a smaller fuse if the load allows it; else take a thicker lead before it is used again."),
}.judge, doc: finding.Doc{
	Name: "fuse-above-lead", Signal: finding.SignalWarning,
	Title:   "A fuse too great for a lead behind it",
	What:    "Holds the rating of each fuse and breaker against the greatest that saves every lead behind it, up to the next fuse or load. A CAUTION, and from a quarter above it on a WARNING.",
	Why:     "The thinnest part of a circuit opens it. If that is the lead, it opens by burning.",
	Needs:   "`current` of each fuse; size and insulation of the leads behind it",
	Formula: "I_fuse <= 1.5 * ampacity below 50 V, <= ampacity from 50 V",
	Source:  "33 CFR 183.455(c) (confirmed). A quarter above: our own choice, no source.",
	Example: "  parts: [{name: main fuse, kind: fuse, current: 30 A}]",
}}
