package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// parallelOneAlone asks what happens to the other packs when one is pulled or opens under load.
var parallelOneAlone = &rule{each: eachVersion, judge: judgeParallelOneAlone, doc: finding.Doc{
	Name: "parallel-one-alone", Signal: finding.Caution,
	Title:   "With one pack off, the others cannot carry the load",
	What:    "Takes the greatest steady current of the version's runs, leaves out the pack with the greatest steady discharge, and holds the current against what the others may give.",
	Why:     "A pack that is pulled under load, blows its fuse or opens its protection leaves everything to the rest at once. They are overloaded with nothing to show for it, or they open one after the other.",
	Needs:   "`discharge` of every pack, and a run with currents",
	Formula: "most = sum of `discharge` over the packs, less the greatest of them",
	Source:  "The limits are the packs' own data sheets, as stated. That one pack may be missing is planned for: common practice, no source.",
	Example: "  packs: [{name: left, discharge: 28 A}, {name: right, discharge: 28 A}]",
}}

func judgeParallelOneAlone(s *subject) []verdict {
	joined, _ := s.several()
	run, amps := s.heaviest()
	rated, ok := s.rated()
	if !joined || run == nil || !ok {
		return nil // that `discharge` lacks is said by discharge-rate
	}
	var largest quantity.Amperes
	for i := range s.version.Packs {
		largest = max(largest, s.version.Packs[i].Discharge.Value)
	}
	limit := rated - largest
	if !above(amps.Value, limit) {
		return nil
	}
	return said(verdict{signal: finding.Caution, at: s.version.Packs[0].Discharge.Span, gauge: most("steady current", amps.Value, limit, ""),
		related: []finding.Related{{Span: run.EvidenceSpan(), Text: "the run that drew this current"}},
		text:    fmt.Sprintf("the load draws %s; if one pack is pulled or opens, the others have to give it, and they may give %s", amps, quantity.Brief(limit)),
		remedy:  "never pull a pack under load. Fuse each pack so that the rest is protected, and stop at once when one drops out."})
}
