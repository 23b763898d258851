package safety

import (
	"voltwright/internal/finding"
)

// chargerInterlock asks whether the vehicle can run off with its charger plugged in.
var chargerInterlock = &rule{each: eachVersion, judge: judgeChargerInterlock, doc: finding.Doc{
	Name: "charger-interlock", Signal: finding.SignalWarning,
	Title:   "It can run with the charger plugged in",
	What:    "Looks at `interlock` of the charger. Where it is `no`, a CAUTION; where a child rides, a WARNING. Where a child rides and nothing is said of it, it cannot judge.",
	Why:     "A vehicle that starts on its charging lead pulls the mains lead, the plug or the charger with it, and drags whoever holds on.",
	Needs:   "`interlock` of the `charger`",
	Source:  "That drive is inhibited while a wheelchair is charged: contents of ISO 7176-14:2022, clause 8.9 (second-hand)",
	Example: "  charger: {chemistry: nmc, voltage: 29.4 V, interlock: yes}",
}}

func judgeChargerInterlock(s *subject) []verdict {
	child, _ := s.child()
	g := s.version.Charger
	if g == nil || !g.Interlock.Set {
		if child && g != nil {
			return cannotCharger(s, "whether it can run with the charger plugged in", "interlock")
		}
		return nil
	}
	if g.Interlock.Value {
		return nil
	}
	v := verdict{signal: finding.Caution, at: g.Interlock.Span, numbers: "interlock: no",
		text:   "it can run with the charger plugged in, and would pull the mains lead with it",
		remedy: "open the stop before you plug in, and take the key with you. Then fit a charge socket with a contact that takes the supply from the controller."}
	if child {
		v.signal = finding.SignalWarning
	}
	return said(v)
}
