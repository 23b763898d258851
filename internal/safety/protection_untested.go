package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// protectionUntested asks whether a protection that is the only guard was ever
// seen to open.
var protectionUntested = &rule{each: eachPack, judge: judgeProtectionUntested, doc: finding.Doc{
	Name: "protection-untested", Signal: finding.Caution,
	Title:   "The only protection against deep discharge was never tested",
	What:    "Looks for a lithium-ion pack whose own protection is all that ends the discharge, and asks for the run, named by `tested`, in which it was seen to open.",
	Why:     "Opening voltages are copied from labels and listings. One bench run shows whether the board opens, at what voltage, and whether it stays open.",
	Needs:   "`tested` in the pack's `protection`, naming a run of the same vehicle",
	Source:  "common practice, no source",
	Example: "  protection: {opens: 21.2 V, tested: bench-2026-04-19}",
}}

func judgeProtectionUntested(s *subject) []verdict {
	p := s.pack.Protection
	if s.version.Cutout != nil || !burns(s.pack) || !p.Opens.Known() || p.Tested.Set {
		return nil
	}
	return said(verdict{signal: finding.Caution, at: p.Span, numbers: p.Opens.Written + ", not tested",
		text:   fmt.Sprintf("the protection of %s is all that ends the discharge, at %s as stated, and no run shows it opening", s.thePack(), p.Opens.Written),
		remedy: "run the pack down once on the bench with a log and somebody by, and name that run under `tested`. Until then, stop by a voltage that you read off."})
}
