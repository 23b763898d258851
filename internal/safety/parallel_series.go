package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// parallelSeries asks whether packs with unlike numbers of cells in series share their terminals.
var parallelSeries = &rule{each: eachVersion, judge: judgeParallelSeries, doc: finding.Doc{
	Name: "parallel-series", Signal: finding.Danger,
	Title:   "Parallel packs with unlike numbers of cells in series",
	What:    "Compares the cells in series of packs of one chemistry that are joined without diodes. A DANGER for lithium-ion, else a CAUTION.",
	Why:     "The pack with more cells pours into the one with fewer until that one is overcharged. Nothing but the leads limits the current.",
	Needs:   "`series` and `joined` of each pack",
	Source:  "Packs side by side have one voltage: circuit law. That such packs are not joined: common practice, no source.",
	Example: "  packs: [{name: left, series: 7}, {name: right, series: 7}]",
}}

func judgeParallelSeries(s *subject) []verdict {
	joined, diodes := s.several()
	if !joined || diodes {
		return nil
	}
	return s.pairs(func(first, other *journal.Pack) []verdict {
		if !first.Series.Set || !other.Series.Set || first.Series.Value == other.Series.Value || first.Chemistry.Value != other.Chemistry.Value {
			return nil // unlike chemistries are a rule of their own
		}
		v := verdict{signal: finding.Caution, at: other.Series.Span, numbers: fmt.Sprintf("%d beside %d cells", first.Series.Value, other.Series.Value),
			related: []finding.Related{{Span: first.Series.Span, Text: "the other pack's cells"}},
			text:    fmt.Sprintf("%s have %d and %d cells in series and share their terminals: the taller one overcharges the other, and only the leads limit the current", s.both(first, other), first.Series.Value, other.Series.Value),
			remedy:  "part them now, with the load off. Join only packs with the same number of cells in series."}
		if burns(first) {
			v.signal = finding.Danger
		}
		return said(v)
	})
}
