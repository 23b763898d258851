package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// shortCircuit asks whether contacts can short a pack.
var shortCircuit = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.ShortCircuit}, question: "whether contacts can short a pack",
	signal: func(f *failing) finding.Signal {
		if len(f.With) == 0 {
			return finding.Danger
		}
		return finding.SignalWarning
	},
	text: func(f *failing) string {
		how := ""
		for i, with := range f.With {
			how += [2]string{"; it takes ", " and "}[min(i, 1)] + "`" + f.c.Parts[with.Part].Name + "`"
			if i == len(f.With)-1 {
				how += " in another position than usual"
			}
		}
		if f.Detail != "" {
			how += " (" + f.Detail + ")"
		}
		return fmt.Sprintf("a way leads from the + of %s to its - with no load between%s: it gives all that it can, with sparks and burns", f.name(), how)
	},
	remedy: first("take the pack off before anything else. Then open that way; contacts that must not close together need a changeover or an interlock."),
}.judge, doc: finding.Doc{
	Name: "short-circuit", Signal: finding.Danger,
	Title:   "A short circuit across a pack",
	What:    "Tries every position of all contacts for a way from a pack's + to its - through leads, contacts, fuses and diodes alone, and looks for packs joined against each other. With the contacts as usual a DANGER, else a WARNING.",
	Why:     "A pack that is shorted gives hundreds of amperes: metal melts, fuses burst, cells vent.",
	Needs:   "`wiring`",
	Source:  "Search of the circuit; that no position of the contacts may short a pack: common practice, no source",
	Example: "  parts: [{name: direction, kind: switch, poles: 2, throws: 2, off-between: yes}]",
}}
