package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// cutoutDidNotOpen asks whether a run went on below the voltage at which the cutout should have opened.
var cutoutDidNotOpen = &rule{each: eachRun, judge: judgeCutoutDidNotOpen, doc: finding.Doc{
	Name: "cutout-did-not-open", Signal: finding.SignalWarning,
	Title: "The cutout did not open when it should have",
	What: "Looks at a run under load for a stretch in which the voltage stayed below the cutout's opening, by more than 2 % or the voltage's expanded uncertainty, for longer than its delay and 10 s more, " +
		"with the load still on.",
	Why:     "A cutout that is trusted and does not act is worse than none: a welded contact, a bridged lead or a wrong setting looks just like this.",
	Needs:   "`opens` of the cutout, its `delay`, and a log of voltage and current",
	Formula: "U < U_open − max(2 % of U_open, 2·u(U)) for longer than delay + 10 s",
	Source:  "2 % and 10 s: own choice, no source. Uncertainty: JCGM 100:2008, 6.2.",
	Example: "  cutout: {opens: 23.4 V, delay: 2 s}",
}}

const (
	openingAccuracy                  = 0.02
	actsWithin      quantity.Seconds = 10
)

func judgeCutoutDidNotOpen(s *subject) []verdict {
	c, r := s.version.Cutout, s.result()
	if !draws(s.run) || c == nil || !c.Opens.Known() || r == nil || r.Series == nil {
		return nil
	}
	margin := openingAccuracy * c.Opens.Value
	if u := r.LowestVoltage.Expanded(); u > margin { // not so where it is unknown
		margin = u
	}
	limit := c.Opens.Value - margin
	wait := actsWithin
	if c.Delay.Known() {
		wait += c.Delay.Value
	}
	idle := float64(peak(r)) / 20
	longest, from, low := 0.0, 0.0, false
	for k, t := range r.Series.Time {
		under := r.Series.Current[k] > idle && below(quantity.Volts(r.Series.Voltage[k]), limit)
		if under && !low {
			from = t // the row in which it came down does not count: when in it is not known
		}
		if low = under; low {
			longest = max(longest, t-from)
		}
	}
	if !above(quantity.Seconds(longest), wait) {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: s.run.EvidenceSpan(), related: []finding.Related{{Span: c.Opens.Span, Text: "the cutout as it is set"}},
		gauge:  most("time below the opening", quantity.Seconds(longest), wait, ""),
		text:   fmt.Sprintf("the load stayed on for %s below %s, and the cutout is set to open at %s: it did not act", quantity.Clock(quantity.Seconds(longest), 1), quantity.Brief(limit), c.Opens.Written),
		remedy: "do not rely on the cutout. Look for a bridged lead or a welded contact, then try it on the bench with a log before the next run."})
}
