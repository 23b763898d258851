package safety

import "voltwright/internal/finding"

// childRemoteStop asks: whether somebody else can stop it.
var childRemoteStop = &rule{each: eachVersion, judge: func(s *subject) []verdict {
	child, stated := s.child()
	if !stated {
		return cannotRider(s, aboutRiders, "rider")
	}
	if !child {
		return nil
	}
	answer := s.version.Use.RemoteStop
	if !answer.Set {
		return cannotRider(s, "whether somebody else can stop it", "remote-stop")
	}
	if answer.Value {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: answer.Span, numbers: "remote-stop: no",
		text:   "nobody but the child can stop the vehicle",
		remedy: "fit a switch in the supply that a grown person beside it reaches by cord or by radio, and that stays off until it is reset. Until then, only within an arm's length."})
}, doc: finding.Doc{
	Name: "child-remote-stop", Signal: finding.SignalWarning,
	Title:   "No one but the child can stop it",
	What:    "Where a child rides, looks at `remote-stop` in the version's `use`.",
	Why:     "A child freezes or turns round just when it should let go. Somebody beside the vehicle must be able to take the power off.",
	Needs:   "`rider` and, for a child, `remote-stop`",
	Source:  "A stop that a supervising person can reach: common practice, no source",
	Example: "  use: {as: toy, rider: child, age: 7, remote-stop: yes}",
}}
