package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// fuseSmall asks whether each fuse carries the lasting load.
var fuseSmall = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.FuseCarriesLoad}, question: "whether each fuse carries the lasting load", what: "rating of the fuse", least: true,
	signal: always(finding.PropertyNotice),
	text: func(f *failing) string {
		return fmt.Sprintf("%s is rated for %s, and the current%s asks for %s: it may open on the way", f.name(), brief(f.Number), f.atPoint(), brief(f.Limit))
	},
	remedy: first("see first that the leads behind it stand a greater fuse; then take one, or draw less. Carry a spare of the same rating, never a greater one."),
}.judge, doc: finding.Doc{
	Name: "fuse-small", Signal: finding.PropertyNotice,
	Title:   "A fuse rated below its continuous current",
	What:    "Holds the rating of each fuse and breaker against 125 % of the greatest current that lasts.",
	Why:     "A fuse near its rating runs hot, ages and opens on a warm day, away from home.",
	Needs:   "`current` of each fuse, and an operating point that lasts",
	Formula: "I_fuse >= 1.25 * I_lasting",
	Source:  "NFPA 70 210.20 and 215.3 (second-hand)",
	Example: "  parts: [{name: main fuse, kind: fuse, current: 30 A}]",
}}
