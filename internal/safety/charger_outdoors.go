package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// chargerOutdoors asks whether a mains charger in the open is behind a residual-current device.
var chargerOutdoors = &rule{each: eachVersion, judge: judgeChargerOutdoors, doc: finding.Doc{
	Name: "charger-outdoors", Signal: finding.SignalWarning,
	Title:   "A mains charger in the open without a residual-current device",
	What:    "Looks at `place` and `residual-current-device` of the charger. Outdoors without the device is a WARNING, in a workshop a CAUTION.",
	Why:     "Wet ground, a worn flex and a metal vehicle make a path for mains current through whoever touches it. The device opens before that kills.",
	Needs:   "`residual-current-device` of the `charger`, where its `place` is outdoors or a workshop",
	Source:  "Sockets for use outdoors behind a residual-current device of 30 mA: IEC 60364-4-41, from memory. Local codes go before this.",
	Example: "  charger: {place: outdoors, residual-current-device: yes}",
}}

func judgeChargerOutdoors(s *subject) []verdict {
	g := s.version.Charger
	if g == nil || g.Place.Value != journal.OutOfDoors && g.Place.Value != journal.Workshop {
		return nil
	}
	if !g.Residual.Set {
		return cannotCharger(s, "whether the charger's mains side is safe to touch", "residual-current-device")
	}
	if g.Residual.Value {
		return nil
	}
	v := verdict{signal: finding.Caution, at: g.Residual.Span, numbers: "residual-current-device: no, " + string(g.Place.Value),
		text:   "the mains charger is used here without a residual-current device: a worn flex and a damp floor are enough for a shock",
		remedy: "plug it in behind a device of 30 mA, in the board or in the plug. Let an electrician see to the socket."}
	if g.Place.Value == journal.OutOfDoors {
		v.signal = finding.SignalWarning
	}
	return said(v)
}
