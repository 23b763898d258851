package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// balanceLeadUnfused asks whether the wires of each balance lead are fused.
var balanceLeadUnfused = &rule{each: eachVersion, judge: wiringRule{
	of: []circuit.Rule{circuit.BalanceFuses}, question: "whether the wires of each balance lead are fused",
	signal: always(finding.Caution),
	text: func(f *failing) string {
		return fmt.Sprintf("%s has %s: one that chafes through is a short of its cells, and the thin wire burns", f.name(), f.Detail)
	},
	remedy: first("keep its plug capped and its wires clear of metal and edges. Then put a small fuse into each where it leaves its cell."),
}.judge, doc: finding.Doc{
	Name: "balance-lead-unfused", Signal: finding.Caution,
	Title:   "A balance lead without fuses",
	What:    "Looks along each wire of a balance lead in the wiring for a fuse or breaker before its cell. The most negative wire needs none.",
	Why:     "These are the thinnest wires on the pack and are joined to the cells ahead of its main fuse. Two that touch short the cells between them.",
	Needs:   "`taps` of the pack, the part of the kind `balance-lead` and its leads",
	Source:  "A fuse in each lead that is thinner than its feed: common practice, no source",
	Example: "  parts: [{name: main, kind: pack, taps: yes}, {name: balance, kind: balance-lead, cells: 7}]",
}}
