package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// fuseLateAtStall asks whether a fuse opens before a held motor burns.
var fuseLateAtStall = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.FuseOpensAtStall}, question: "whether a fuse opens before a held motor burns", what: "time that the winding stands", least: true,
	signal: always(finding.Caution),
	text: func(f *failing) string {
		if g := f.gauge(); g != nil {
			return fmt.Sprintf("held fast, the motors stand about %s, and %s may take %s to open: the winding burns first", rough(f.Number), f.name(), brief(f.Limit))
		}
		return fmt.Sprintf("held fast, the motors stand about %s, and %s does not open at that current at all", rough(f.Number), f.name())
	},
	remedy: first("let go of the control at once when the wheels do not turn. Then fit a smaller or faster fuse at each motor, or a controller that limits its current."),
}.judge, doc: finding.Doc{
	Name: "fuse-late-at-stall", Signal: finding.Caution,
	Title:   "A stalled motor overheats before its fuse opens",
	What:    "Holds how long the copper of a held motor takes to its limit against the longest time that a fuse takes to open at that current.",
	Why:     "A motor that is held still turns all its power into heat. Its smoke is poisonous, and it may set fire to what lies beside it.",
	Needs:   "`fuse-kind` and `current` of each fuse; how long the motors stand a stall, from their `copper`",
	Formula: "longest opening time <= time of the copper, see `fuse-gates`",
	Source:  "The table of the fuse's kind, which stands beside the limit: data sheets as quoted in design notes (second-hand), ISO 8820-3 (from memory), UL 248-14 (maker's selection guide) (confirmed)",
	Example: "  motors: [{copper: 120 g}]",
}}
