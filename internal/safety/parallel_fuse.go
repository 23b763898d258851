package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// parallelFuse asks whether each of several packs has a fuse of its own.
var parallelFuse = &rule{each: eachPack, judge: judgeParallelFuse, doc: finding.Doc{
	Name: "parallel-fuse", Signal: finding.SignalWarning,
	Title:   "A parallel pack without a fuse of its own",
	What:    "Looks for a pack beside others whose `fuse` is `none`. Where the wiring is stated, the fuses in it are judged as well, by the circuit's own rules.",
	Why:     "If one pack fails short, all others feed it. A main fuse after the joint does not see that current.",
	Needs:   "`fuse` of each pack",
	Source:  "Means against reverse current for cells in parallel, diodes or fuses: ADR 2.2.9.1.7(d), for carriage alone (confirmed). One fuse for each string in use: common practice, no source.",
	Example: "  packs: [{name: left, fuse: 40 A}, {name: right, fuse: 40 A}]",
}}

func judgeParallelFuse(s *subject) []verdict {
	if joined, _ := s.several(); !joined {
		return nil
	}
	f := s.pack.Fuse
	if !f.Set && s.version.Wiring != nil {
		return nil // the circuit's own rules look for it there
	}
	if !f.Set {
		return cannotPacks(s, "whether each pack has a fuse of its own", "`fuse` is not stated for every pack", "state the rating of the fuse at each pack's positive terminal, or `none`.")
	}
	if !f.None {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: f.Span, numbers: "no fuse",
		text:   fmt.Sprintf("%s has no fuse of its own: if it fails short, the packs beside it feed the fault, and the main fuse does not see it", s.thePack()),
		remedy: "take the packs apart until each has a fuse at its positive terminal, rated for direct current at the full voltage."})
}
