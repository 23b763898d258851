package safety

import (
	"fmt"
	"slices"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// fuseCannotInterrupt asks whether each fuse interrupts what the packs give into a short.
var fuseCannotInterrupt = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.FuseInterrupts}, question: "whether each fuse interrupts what the packs give into a short", what: "fault current",
	signal: always(finding.SignalWarning),
	text: func(f *failing) string {
		draws := "draws about " + three(f.Number)
		if slices.ContainsFunc(f.c.Parts, func(p circuit.Part) bool { return p.Taken != "" }) {
			draws = "may draw about " + rough(f.Number) + ", as far as a guess at the resistance of the packs tells"
		}
		return fmt.Sprintf("a short behind %s %s, and it interrupts no more than %s: it may burst, or burn on as an arc", f.name(), draws, brief(f.Limit))
	},
	remedy: first("take a fuse that interrupts more direct current at the full voltage, and keep a cover over it until then."),
}.judge, doc: finding.Doc{
	Name: "fuse-cannot-interrupt", Signal: finding.SignalWarning,
	Title:   "Short-circuit current exceeds a fuse's breaking capacity",
	What:    "Holds the current that full packs give into a short behind each fuse or breaker against what it interrupts.",
	Why:     "A fuse that is asked for too much does not go out: its arc burns on and the case bursts.",
	Needs:   "`breaking` of each fuse, or its `fuse-kind`; full voltage of the packs and their `resistance`, in place of which the least that is likely of their chemistry and capacity is taken",
	Formula: "I_fault <= breaking current, see `fault-current`",
	Source:  "33 CFR 183.455 asks for it (from memory); the limit is that of the fuse, as stated, or that of its kind, whose source stands beside it",
	Example: "  parts: [{name: main fuse, kind: fuse, current: 30 A, breaking: 1 kA}]",
}}
