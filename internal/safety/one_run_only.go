package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// oneRunOnly asks whether what is said of a version in use rests on one field run.
var oneRunOnly = &rule{each: eachVersion, judge: judgeOneRunOnly, doc: finding.Doc{
	Name: "one-run-only", Signal: finding.PropertyNotice,
	Title:   "One run only",
	What:    "Counts the measured field runs of a version that is running. One alone has no spread.",
	Why:     "How far a second run would have come out is not known. Who plans a day by one run may be left on the far side of the line.",
	Needs:   "`state: running` and the version's field runs",
	Formula: "least = 2 runs",
	Source:  "One observation gives no standard deviation: JCGM 100:2008, 4.2 (confirmed)",
	Example: "  type: field",
}}

func judgeOneRunOnly(s *subject) []verdict {
	if s.version.State.Value != journal.Running {
		return nil
	}
	var only *journal.Run
	count := 0
	for _, r := range s.version.Runs {
		if r.Type.Value == journal.Field && s.of(r) != nil {
			only = r
			count++
		}
	}
	if count != 1 {
		return nil
	}
	g := &finding.Gauge{What: "field runs", Value: 1, Limit: 2, Written: "1 run", Bound: "2 runs", Least: true}
	return said(verdict{signal: finding.PropertyNotice, at: s.version.State.Span, gauge: g,
		related: []finding.Related{{Span: only.Note.KindSpan, Text: "the run"}},
		text:    fmt.Sprintf("all that is known of this version in the field rests on one run, of %s: how much runs differ is not known", only.Date),
		remedy:  "run it once more under the same conditions, and keep a third of the charge in hand until then."})
}
