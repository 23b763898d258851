package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// clockJump asks whether a log's clock started again while the run went on.
var clockJump = &rule{each: eachRun, judge: judgeClockJump, doc: finding.Doc{
	Name: "clock-jump", Signal: finding.PropertyNotice,
	Title:   "A clock that jumps",
	What:    "Looks for places in a log at which its clock went back or started again.",
	Why:     "How long the gap was is not known: the run may have been longer than its time says, and charge may have flowed that was not counted.",
	Needs:   "a log with a time column",
	Source:  "How a restart is told: the log reader's own rule, own choice, no source",
	Example: "  log: {file: field-2.csv}",
}}

func judgeClockJump(s *subject) []verdict {
	r := s.result()
	if r == nil {
		return nil
	}
	jumps := 0
	for _, g := range r.Gaps {
		if g.Restart {
			jumps++
		}
	}
	if jumps == 0 {
		return nil
	}
	times := "once"
	if jumps > 1 {
		times = fmt.Sprintf("%d times", jumps)
	}
	return said(verdict{signal: finding.PropertyNotice, at: s.run.EvidenceSpan(), numbers: "clock jumped " + times,
		text:   fmt.Sprintf("the log's clock went back %s: its times and its charge may be too small, and nobody can tell by how much", times),
		remedy: "quote no run time and no charge from it. Make the run again, or split the log where the clock went back."})
}
