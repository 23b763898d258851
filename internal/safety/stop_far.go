package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// stopFar asks how far it goes on when it is to stop.
var stopFar = &rule{each: eachVersion, judge: judgeStopFar, doc: finding.Doc{
	Name: "stop-far", Signal: finding.SignalWarning,
	Title:   "A long stopping distance",
	What:    "Holds the greatest computed stopping distance from the top speed, on the level and down the steepest climb, against 10 m. A CAUTION, and from 20 m on a WARNING.",
	Why:     "On a garden line or a path nobody sees further ahead than that, and what stands there is mostly a child or a dog.",
	Needs:   "`braking` in `drive`; for a vehicle that somebody rides",
	Formula: "s = v * t_reaction + v² / (2 a), see `stopping-distance`",
	Source:  "The distance: mechanics (computed). Time to react, where none is stated: 1.5 s as a rule, an average of the literature and no floor, and 2.5 s where a child rides (both second-hand). 10 m and 20 m: own choice, no source.",
	Example: "  drive: {braking: {deceleration: 0.9 m/s²}}",
}}

// The distances within which it should, and has to, come to a stand.
const (
	stopWithin quantity.Metres = 10
	stopBy     quantity.Metres = 20
)

func judgeStopFar(s *subject) []verdict {
	d, u := s.driving(), s.version.Use
	if d == nil || !d.Top.HasSpeed() {
		return nil
	}
	if len(d.Stops) == 0 {
		if u == nil || !u.Rider.Set || u.Rider.Value == journal.Nobody {
			return nil
		}
		return cannot(s.atDrive(), "how far it goes on when it is to stop", "`braking` is not stated in `drive`", "state the deceleration that you measured, or the force of the brake.")
	}
	var worst quantity.Metres
	label := ""
	for _, stop := range d.Stops {
		if stop.Err == "" && stop.Distance.Value > worst {
			worst, label = stop.Distance.Value, stop.Label
		}
	}
	if !above(worst, stopWithin) {
		return nil
	}
	v := verdict{signal: finding.Caution, at: s.version.Drive.Braking.Span, gauge: most("stopping distance", worst, stopWithin, ""),
		text:   fmt.Sprintf("from its top speed it goes on for %s %s before it stands, time to react included", quantity.Brief(worst), label),
		remedy: "drive only so fast that you can stop within the way that you see, and slower downhill. Then make the brake stronger, or the load lighter."}
	if !below(worst, stopBy) {
		v.signal = finding.SignalWarning
	}
	return said(v)
}
