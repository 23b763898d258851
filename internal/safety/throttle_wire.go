package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// throttleWire asks what a broken wire of the throttle does.
var throttleWire = &rule{each: eachVersion, judge: judgeThrottleWire, doc: finding.Doc{
	Name: "throttle-wire", Signal: finding.SignalWarning,
	Title:   "A broken wire at the throttle",
	What:    "Looks at `broken-wire` of the throttle: full speed, or running on, is a WARNING, not tried a CAUTION. Where a child rides, a controller is stated and nothing is said of it, it cannot judge.",
	Why:     "The wires of a throttle are the thinnest of the vehicle and are bent the most. Of one in three that may break, one is the return: without it many controllers read full speed.",
	Needs:   "`broken-wire` of the `throttle`",
	Source:  "That a controller shuts off at a broken throttle wire: manuals of a maker of controllers (second-hand)",
	Example: "  throttle: {broken-wire: stops, rest-check: yes}",
}}

func judgeThrottleWire(s *subject) []verdict {
	t := s.version.Throttle
	if t == nil || !t.BrokenWire.Set {
		return s.cannotThrottle("what a broken wire of the throttle does", "broken-wire")
	}
	const remedy = "do not let anybody ride until a switch of its own, at the hand or foot, takes the supply away when it is let go; try each wire again with the wheels off the ground."
	v := verdict{signal: finding.SignalWarning, at: t.BrokenWire.Span, numbers: "broken-wire: " + string(t.BrokenWire.Value), remedy: remedy}
	switch t.BrokenWire.Value {
	case journal.WireFull:
		v.text = "with a wire of the throttle off it goes to full speed, and only the stop ends it"
	case journal.WireRunsOn:
		v.text = "with a wire of the throttle off it runs on, and letting go does not stop it"
	case journal.WireUntried:
		v.signal = finding.Caution
		v.text = "what it does when a wire of the throttle breaks was not tried: many controllers then read full speed"
		v.remedy = "lift the wheels off the ground, have a hand on the stop, and pull one wire of the throttle after the other, with it at rest and half open."
	default:
		return nil
	}
	return said(v)
}

// cannotThrottle says that a key of the throttle is wanted, where a child rides what has a controller.
func (s *subject) cannotThrottle(question, key string) []verdict {
	c := s.version.Controller
	if child, _ := s.child(); !child || c == nil {
		return nil
	}
	return cannot(c.Span, question, "`"+key+"` is not stated in `throttle`", "state it; `voltwright explain throttle."+key+"` says how.")
}
