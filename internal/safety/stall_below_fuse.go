package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// stallBelowFuse asks whether the packs' fuses open at all when the motors are
// held. Where the wiring is stated, fuse-late-at-stall says it.
var stallBelowFuse = &rule{each: eachVersion, judge: judgeStallBelowFuse, doc: finding.Doc{
	Name: "stall-below-fuse", Signal: finding.Caution,
	Title:   "No fuse opens at the stall current",
	What:    "Holds what held motors draw from the packs against the packs' fuses together. Only where no wiring is stated; there `fuse-late-at-stall` says it.",
	Why:     "A fuse carries its rating for good. Held motors that draw no more burn behind it.",
	Needs:   "`fuse` of each pack; `drive` and the plate of the motors",
	Formula: "I_stall > sum of the fuses' ratings",
	Source:  "That a fuse carries its rating for good: UL 248-14 (maker's selection guide) (confirmed) and ISO 8820-3 (from memory), see fuse-gates",
	Example: "  packs: [{fuse: 30 A}]",
}}

func judgeStallBelowFuse(s *subject) []verdict {
	d := s.driving()
	if s.version.Wiring != nil || d == nil || d.Stall == nil || len(s.version.Packs) == 0 {
		return nil
	}
	var fuses quantity.Amperes
	for i := range s.version.Packs {
		f := s.version.Packs[i].Fuse
		if !f.Rating.Known() {
			return nil // that it is not stated, or that there is none, is said elsewhere
		}
		fuses += f.Rating.Value
	}
	amps := d.Stall.Battery.Value
	if above(amps, fuses) {
		return nil
	}
	how := ""
	if d.Stall.Time.Known() {
		how = fmt.Sprintf(", and their windings stand it for about %s", rough(quantity.Exact(d.Stall.Time.Value).Quantity()))
	}
	return said(verdict{signal: finding.Caution, at: s.version.Packs[0].Fuse.Span, gauge: least("battery current of held motors", amps, fuses, ""),
		text:   fmt.Sprintf("held motors draw %s from the packs%s: a fuse of %s does not open at that", quantity.Brief(amps), how, quantity.Brief(fuses)),
		remedy: "let go of the control at once when the wheels do not turn. Then put a smaller fuse at each motor, or a controller that limits its current."})
}
