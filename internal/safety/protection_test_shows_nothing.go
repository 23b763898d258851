package safety

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// protectionTestShowsNothing asks whether the run that is named as the test of
// a protection shows that it opened.
var protectionTestShowsNothing = &rule{each: eachPack, judge: judgeProtectionTestShowsNothing, doc: finding.Doc{
	Name: "protection-test-shows-nothing", Signal: finding.Caution,
	Title:   "The test of a protection does not show it opening",
	What:    "Looks up the run that `tested` names, in this version or another of the vehicle, and asks whether its log shows the load going off at the lowest voltage and staying off.",
	Why:     "A protection that is called tested is trusted by every reader.",
	Needs:   "a run with a log or readings of voltage and current down to the opening",
	Source:  "How an opening is told from a log: the formula cutout-opening, own choice, no source.",
	Example: "  protection: {opens: 21.2 V, tested: bench-2026-04-19}",
}}

func judgeProtectionTestShowsNothing(s *subject) []verdict {
	tested := s.pack.Protection.Tested
	if !tested.Set {
		return nil
	}
	v := verdict{signal: finding.Caution, at: tested.Span, numbers: "tested: " + tested.Text,
		remedy: "name the run whose log shows the opening, or take `tested` out until there is one."}
	run := runNamed(s.version.Vehicle, s.version, tested.Text)
	switch {
	case run == nil:
		v.text = fmt.Sprintf("the protection of %s is called tested in `%s`, and the vehicle has no such run", s.thePack(), tested.Text)
	case s.of(run) == nil || s.of(run).Cutout == nil:
		v.text = fmt.Sprintf("the protection of %s is called tested in `%s`, and that run shows nothing that opened", s.thePack(), tested.Text)
		v.related = []finding.Related{{Span: run.EvidenceSpan(), Text: "its evidence"}}
	default:
		return nil
	}
	return said(v)
}

// runNamed finds a run by RUN in the version, or by VERSION/RUN in the vehicle; nil where there is none.
func runNamed(vehicle *journal.Vehicle, version *journal.Version, name string) *journal.Run {
	if other, run, ok := strings.Cut(name, "/"); ok {
		for _, v := range vehicle.Versions {
			if v.Slug == other {
				return runNamed(vehicle, v, run)
			}
		}
		return nil
	}
	for _, r := range version.Runs {
		if r.Slug == name {
			return r
		}
	}
	return nil
}
