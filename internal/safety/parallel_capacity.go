package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// parallelCapacity asks whether packs side by side are of unlike capacity.
var parallelCapacity = &rule{each: eachVersion, judge: judgeParallelCapacity, doc: finding.Doc{
	Name: "parallel-capacity", Signal: finding.PropertyNotice,
	Title:   "Parallel packs of unlike capacity",
	What:    "Compares the capacities of packs that are joined without diodes. It speaks if the larger holds more than 1.1 times the smaller, as a CAUTION from twice on.",
	Why:     "Unlike packs do not share a load evenly at every moment: the smaller one reaches its own limits first, on discharge and on charge, while the sum looks well.",
	Needs:   "`capacity` of each pack",
	Formula: "larger / smaller at most 1.1",
	Source:  "1.1: the spread of labels, and twice: both common practice, no source",
	Example: "  packs: [{name: left, capacity: 14 Ah}, {name: right, capacity: 14 Ah}]",
}}

const (
	unlikeCapacity   = 1.1
	twofold          = 2.0
	likeCapacityText = "1.1 times"
)

func judgeParallelCapacity(s *subject) []verdict {
	joined, diodes := s.several()
	if !joined || diodes {
		return nil
	}
	return s.pairs(func(first, other *journal.Pack) []verdict {
		a, b := first.Capacity, other.Capacity
		if !a.Known() || !b.Known() {
			return nil
		}
		ratio := quantity.Number(max(a.Value/b.Value, b.Value/a.Value))
		g := most("larger over smaller capacity", ratio, unlikeCapacity, "")
		if !exceeds(g) {
			return nil
		}
		g.Written, g.Bound = fmt.Sprintf("%.2f times", float64(ratio)), likeCapacityText
		v := verdict{signal: finding.PropertyNotice, at: b.Span, gauge: g,
			text:   fmt.Sprintf("%s hold %s and %s: they do not share a load evenly at every moment, and the smaller is at its limits first", s.both(first, other), a.Written, b.Written),
			remedy: "choose fuses and currents by the smaller pack alone, and look at each pack's own current on the next run."}
		if !below(ratio, twofold) {
			v.signal = finding.Caution
		}
		return said(v)
	})
}
