package safety

import "voltwright/internal/finding"

// throttleAtRest asks whether it moves off when it is switched on with the throttle open.
var throttleAtRest = &rule{each: eachVersion, judge: judgeThrottleAtRest, doc: finding.Doc{
	Name: "throttle-at-rest", Signal: finding.SignalWarning,
	Title:   "It moves off when it is switched on",
	What:    "Looks at `rest-check` of the throttle. Where it is `no`, a CAUTION; where a child rides, a WARNING. Where a child rides, a controller is stated and nothing is said of it, it cannot judge.",
	Why:     "A throttle that hangs, or under which a foot stands, makes it jump off with whoever has just switched it on beside it.",
	Needs:   "`rest-check` of the `throttle`",
	Source:  "Control signal at switch-on: contents of ISO 7176-14:2022, clause 8.3 (second-hand)",
	Example: "  throttle: {broken-wire: stops, rest-check: yes}",
}}

func judgeThrottleAtRest(s *subject) []verdict {
	t := s.version.Throttle
	if t == nil || !t.RestCheck.Set {
		return s.cannotThrottle("whether it moves off when it is switched on", "rest-check")
	}
	if t.RestCheck.Value {
		return nil
	}
	v := verdict{signal: finding.Caution, at: t.RestCheck.Span, numbers: "rest-check: no",
		text:   "switched on with the throttle open it moves off at once",
		remedy: "sit on it or stand clear before it is switched on, with the throttle let go. Then set the controller to wait for the throttle at rest, or take one that does."}
	if child, _ := s.child(); child {
		v.signal = finding.SignalWarning
	}
	return said(v)
}
