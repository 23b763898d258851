package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// speedAboveWanted asks whether it goes faster than its maker wants.
var speedAboveWanted = &rule{each: eachVersion, judge: judgeSpeedAboveWanted, doc: finding.Doc{
	Name: "speed-above-wanted", Signal: finding.Caution,
	Title:   "Top speed above the one wanted",
	What:    "Holds the computed top speed at the setting, with full packs, against `top-speed`. Speaks only beyond the uncertainty of the computed one. A NOTICE, and from a quarter above it on a CAUTION.",
	Why:     "A setting that was found with half-full packs is faster with full ones.",
	Needs:   "`top-speed` in `drive`; `motors`, `masses`",
	Formula: "v - 2 u(v) <= wanted top speed",
	Source:  "The wanted speed, as stated. A quarter above: own choice, no source.",
	Example: "  drive: {top-speed: 8 km/h}",
}}

func judgeSpeedAboveWanted(s *subject) []verdict {
	d := s.driving()
	if d == nil || d.Wanted == nil || !d.Top.Speed.Known() {
		return nil
	}
	speed, wanted := d.Top.Speed, d.Wanted.Speed
	if !above(speed.Value-speed.Expanded(), wanted) {
		return nil
	}
	v := verdict{signal: grave(speed.Value, wanted, 1.25, finding.PropertyNotice, finding.Caution), at: s.version.Drive.TopSpeed.Span, gauge: slowest(speed.Value, wanted, ""),
		text:   fmt.Sprintf("with full packs it goes %s, and %s is wanted", speed, kmh(wanted)),
		remedy: "turn the setting down, and fix it there."}
	if d.Wanted.Setting.Known() {
		v.remedy = fmt.Sprintf("turn the setting down to %s, and fix it there.", quantity.Brief(quantity.Fraction(float64(int(100*d.Wanted.Setting.Value))/100)))
	}
	return said(v)
}
