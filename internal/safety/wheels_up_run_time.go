package safety

import (
	"fmt"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// wheelsUpRunTime asks whether a text quotes a run time that was measured with the wheels in the air.
var wheelsUpRunTime = &rule{each: eachText, judge: judgeWheelsUpRunTime, doc: finding.Doc{
	Name: "wheels-up-run-time", Signal: finding.PropertyNotice,
	Title:   "A run time with the wheels in the air",
	What:    "Looks in every text for a running time or an elapsed time of a run whose surface is `wheels-up`, under load.",
	Why:     "With the wheels in the air a vehicle runs many times longer than on the ground. A reader who takes the figure for a run time walks home.",
	Needs:   "`surface` in the `conditions` of the run that is quoted",
	Source:  "common practice, no source",
	Example: "  conditions: {surface: wheels-up}",
}}

func judgeWheelsUpRunTime(s *subject) []verdict {
	var out []verdict
	for _, q := range s.quotes() {
		c := &q.target.Run.Conditions
		if !slices.Contains(timed, q.target.Name) || c.Surface.Value != journal.WheelsUp || s.place.Run == q.target.Run {
			continue // the run's own page says on its face what it was
		}
		out = append(out, verdict{signal: finding.PropertyNotice, at: q.embed.Span, numbers: fmt.Sprintf("%s of %s", q.target.Name, q.target.Run.ID()),
			text:    fmt.Sprintf("the %s of `%s` is quoted here, and that run had its wheels in the air: on the ground the time is much shorter", figureWords(q.target.Name), q.target.Run.ID()),
			remedy:  "quote a run on the ground, or say in the same sentence that the wheels were off it.",
			related: []finding.Related{{Span: c.Surface.Span, Text: "the run's surface"}}})
	}
	return out
}

// timed are the figures that a reader takes for a run time.
var timed = []string{"running-time", "elapsed-time"}
