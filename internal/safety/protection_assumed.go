package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// protectionAssumed asks whether a lithium-ion pack is relied on to mind itself
// without anything being said of how.
var protectionAssumed = &rule{each: eachPack, judge: judgeProtectionAssumed, doc: finding.Doc{
	Name: "protection-assumed", Signal: finding.Caution,
	Title:   "A pack's protection is taken for granted",
	What:    "Looks for a lithium-ion pack of which nothing is said about protection, in a version that has no cutout, or whose protection has no opening voltage.",
	Why:     "That a pack has a board does not say that it opens anything, nor at what voltage. What is not stated cannot be held against the cells' floor, by the maker or by a reader who copies the build.",
	Needs:   "`protection` of each pack, where there is no `cutout`",
	Source:  "That boards may do nothing outside their appliance: common practice, no source.",
	Example: "  protection: {opens: 21.2 V, current: 40 A, charge-stops: 29.1 V, tested: bench-2026-04-19}",
}}

func judgeProtectionAssumed(s *subject) []verdict {
	p := s.pack.Protection
	if s.version.Cutout != nil || !burns(s.pack) || p.None || p.Tied || p.Opens.Known() {
		return nil
	}
	at, stated := s.pack.Span, "nothing is stated of the protection of"
	if p.Set {
		at, stated = p.Span, "no opening voltage is stated for the protection of"
	}
	return said(verdict{signal: finding.Caution, at: at, numbers: "no cutout, protection not stated",
		text:   fmt.Sprintf("there is no cutout, and %s %s: whether anything ends the discharge before the cells are harmed is an assumption", stated, s.thePack()),
		remedy: "test it once on the bench down to its opening, log it, and state what you saw; or fit a cutout of your own. Until then, stop by a voltage that you read off."})
}
