package safety

import "voltwright/internal/finding"

// childHelmet asks: whether the child's head is protected.
var childHelmet = &rule{each: eachVersion, judge: func(s *subject) []verdict {
	child, stated := s.child()
	if !stated {
		return cannotRider(s, aboutRiders, "rider")
	}
	if !child {
		return nil
	}
	answer := s.version.Use.Helmet
	if !answer.Set {
		return cannotRider(s, "whether the child's head is protected", "helmet")
	}
	if answer.Value {
		return nil
	}
	return said(verdict{signal: finding.Caution, at: answer.Span, numbers: "helmet: no",
		text:   "the child rides without a helmet, and a fall at walking pace is enough to hurt a head",
		remedy: "let the child wear a helmet that fits, also for the short trip."})
}, doc: finding.Doc{
	Name: "child-helmet", Signal: finding.Caution,
	Title:   "A child rides without a helmet",
	What:    "Where a child rides, looks at `helmet` in the version's `use`.",
	Why:     "A fall at walking pace from a seat is enough for a head injury.",
	Needs:   "`rider` and, for a child, `helmet`",
	Source:  "Helmets for children on ride-ons: common practice, no source",
	Example: "  use: {as: toy, rider: child, age: 7, helmet: yes}",
}}
