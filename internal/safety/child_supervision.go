package safety

import "voltwright/internal/finding"

// childSupervision asks: whether somebody is there while the child rides.
var childSupervision = &rule{each: eachVersion, judge: func(s *subject) []verdict {
	child, stated := s.child()
	if !stated {
		return cannotRider(s, aboutRiders, "rider")
	}
	if !child {
		return nil
	}
	answer := s.version.Use.Supervised
	if !answer.Set {
		return cannotRider(s, "whether somebody is there while the child rides", "supervised")
	}
	if answer.Value {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: answer.Span, numbers: "supervised: no",
		text:   "a child rides with no grown person within reach of the stop",
		remedy: "let it move only while a grown person is there; take the key out when you go."})
}, doc: finding.Doc{
	Name: "child-supervision", Signal: finding.SignalWarning,
	Title:   "A child rides with nobody there",
	What:    "Where a child rides, looks at `supervised` in the version's `use`.",
	Why:     "Water, roads, steps and other children are what a child drives towards.",
	Needs:   "`rider` and, for a child, `supervised`",
	Source:  "Supervision of children on powered ride-ons: common practice, no source",
	Example: "  use: {as: toy, rider: child, age: 7, supervised: yes}",
}}
