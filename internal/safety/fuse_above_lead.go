package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// fuseAboveLead asks whether each fuse saves the leads behind it.
var fuseAboveLead = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.FuseSavesLead}, question: "whether each fuse saves the leads behind it", what: "rating of the fuse",
	signal: beyond(1.25, finding.Caution, finding.SignalWarning),
	text: func(f *failing) string {
		fuse := f.others("")
		if f.c.Parts[f.Parts[0]].Kind == circuit.Pack {
			fuse = "the fuse in " + fuse
		}
		end := ""
		if melts := circuit.FusingCurrent(f.c.Leads[f.Subject.Lead].Size.Area); f.Number.Value >= float64(melts) {
			end = fmt.Sprintf(", and at some %s its copper melts", rough(quantity.Exact(melts).Quantity()))
		}
		return fmt.Sprintf("%s is rated for %s, and %s behind it is saved by no more than %s: in a fault the lead burns before the fuse opens%s", fuse, brief(f.Number), f.name(), brief(f.Limit), end)
	},
	remedy: first("put in a smaller fuse if the load allows it; else take a thicker lead before it is used again."),
}.judge, doc: finding.Doc{
	Name: "fuse-above-lead", Signal: finding.SignalWarning,
	Title:   "A fuse rated above what a lead behind it carries",
	What:    "Holds the rating of each fuse and breaker against the greatest that saves every lead behind it, up to the next fuse or load; and so the fuse that `packs` states to be in a pack, where the wiring shows none of that rating at the pack. A lead whose ampacity cannot be found is held against the most that it may be. A CAUTION, and from a quarter above it on a WARNING.",
	Why:     "The thinnest part of a circuit opens it. If that is the lead, it opens by burning.",
	Needs:   "`current` of each fuse; size and insulation of the leads behind it",
	Formula: "I_fuse <= 1.5 * ampacity below 50 V, <= ampacity from 50 V",
	Source:  "33 CFR 183.455(c) (confirmed). The current that melts a wire: W. H. Preece, 1884 to 1888 (from memory). A quarter above: own choice, no source.",
	Example: "  parts: [{name: main fuse, kind: fuse, current: 30 A}]",
}}
