package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// fuseOpensEarly asks whether each fuse holds through what lasts only a while.
var fuseOpensEarly = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.FuseHolds}, question: "whether each fuse holds through a start or a climb", what: "time that it has to hold",
	skip:   (*failing).wellWithinFuse,
	signal: always(finding.PropertyNotice),
	text: func(f *failing) string {
		return fmt.Sprintf("%s has to hold for %s%s, and may open after %s: the vehicle then stands on the hill", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit))
	},
	remedy: first("take the hill with less load or a lower setting; then take a slower or greater fuse if the leads behind it allow it."),
}.judge, doc: finding.Doc{
	Name: "fuse-opens-early", Signal: finding.PropertyNotice,
	Title:   "A fuse that may open on a climb",
	What:    "Holds how long a start or a climb lasts against the shortest time after which a fuse of its kind and rating opens at that current.",
	Why:     "A fuse that opens on the hill takes the drive and any braking by the motors at the worst moment.",
	Needs:   "`fuse-kind` and `current` of each fuse, and an operating point that ends",
	Formula: "t <= shortest opening time, see `fuse-gates`",
	Source:  "The table of the fuse's kind, which stands beside the limit: data sheets as quoted in design notes (second-hand), ISO 8820-3 (from memory), UL 248-14 (maker's selection guide) (confirmed)",
	Example: "  parts: [{name: main fuse, kind: fuse, current: 30 A, fuse-kind: large-blade}]",
}}

// wellWithinFuse tells whether a fuse carries at most the load that it carries for
// good: then it does not open, though the table of its kind may not begin that low.
func (f *failing) wellWithinFuse() bool {
	if f.CannotJudge != "" {
		return false
	}
	asked := f.c.Asked(f.s.wired().Solutions)[f.Subject.Part]
	return !above(circuit.LeastFuse(asked.Brief), f.part().Current)
}
