package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// capacityFade asks whether a version's packs give less than they did.
var capacityFade = &rule{each: eachVersion, judge: judgeCapacityFade, doc: finding.Doc{
	Name: "capacity-fade", Signal: finding.Caution,
	Title:   "The packs give less than they did",
	What:    "Compares the charge of the last run to the cutout with that of the first of the same type. Below 80 % it speaks: a CAUTION for lithium-ion, a NOTICE for other cells.",
	Why:     "Cells that have lost a fifth have grown more resistance and are no longer alike; the weakest goes below its floor while the pack's voltage looks well.",
	Needs:   "two runs of one type in which the cutout opened, with their charge",
	Formula: "least = 0.8 × charge of the first run",
	Source:  "80 % as the end of a cell's use: common practice, no source",
	Example: "  type: bench",
}}

// endOfUse is the part of the first capacity at which cells are counted as used up.
const endOfUse = 0.8

func judgeCapacityFade(s *subject) []verdict {
	for _, kind := range []journal.RunType{journal.Bench, journal.Field} {
		var first, last *journal.Run
		for _, r := range s.version.Runs { // by date
			if result := s.of(r); r.Type.Value == kind && result != nil && result.Cutout != nil && result.Charge.Out.Known() {
				if first == nil {
					first = r
				}
				last = r
			}
		}
		if first == last {
			continue
		}
		was, is := s.of(first).Charge.Out, s.of(last).Charge.Out
		limit := endOfUse * was.Value
		if !below(is.Value, limit) {
			continue
		}
		v := verdict{signal: finding.Caution, at: last.EvidenceSpan(), gauge: least("charge to the cutout", is.Value, limit, ""),
			related: []finding.Related{{Span: first.EvidenceSpan(), Text: "the first run"}},
			text:    fmt.Sprintf("the %s run of %s gave %s down to the cutout, and that of %s gave %s: the packs have lost %.0f %%", kind, last.Date, is, first.Date, was, 100*(1-float64(is.Value/was.Value))),
			remedy:  "measure the cells one by one under load. Raise the cutout, and plan for other cells: what is left fades faster."}
		if !anyBurns(s.version) {
			v.signal = finding.PropertyNotice
		}
		return said(v)
	}
	return nil
}

// share is a part in words: "64 %".
func share(part float64) string { return quantity.Brief(quantity.Fraction(part)) }
