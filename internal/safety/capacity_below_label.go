package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// capacityBelowLabel asks whether the logs show the capacity that is stated.
var capacityBelowLabel = &rule{each: eachVersion, judge: judgeCapacityBelowLabel, doc: finding.Doc{
	Name: "capacity-below-label", Signal: finding.PropertyNotice,
	Title:   "The packs hold less than they are said to",
	What:    "Holds the capacity that the version's own logs teach, with its expanded uncertainty given to it, against the one that is stated. Below 80 % it speaks.",
	Why:     "Fuses, chargers and run times are chosen by the label. Cells that hold less were sold with a false label or are worn.",
	Needs:   "`capacity` of every pack, and logs that can teach it",
	Formula: "least = 0.8 × stated capacity of all packs",
	Source:  "80 %: common practice, no source. Uncertainty: JCGM 100:2008, 6.2.",
	Example: "  packs: [{chemistry: lfp, series: 7, capacity: 14 Ah}]",
}}

func judgeCapacityBelowLabel(s *subject) []verdict {
	a := s.answers()
	if a == nil {
		return nil
	}
	stated := s.version.Capacity().Value // every pack's is known where there are answers, and what no log taught is the label itself
	limit := endOfUse * stated
	if best := a.Capacity.Value + a.Capacity.Expanded(); !below(best, limit) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: s.version.Packs[0].Capacity.Span, gauge: least("capacity by the logs", a.Capacity.Value, limit, ""),
		text:   fmt.Sprintf("the logs show %s, which is %s of the %s that are stated", a.Capacity, share(float64(a.Capacity.Value/stated)), quantity.Brief(stated)),
		remedy: "state what the logs show, and choose charger and fuse by it. If the pack is new, ask whoever sold it."})
}
