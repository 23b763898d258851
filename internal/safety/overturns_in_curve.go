package safety

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/study"
)

// overturnsInCurve asks whether its top speed tips it over in the tightest curve.
var overturnsInCurve = &rule{each: eachVersion, judge: judgeOverturnsInCurve, doc: finding.Doc{
	Name: "overturns-in-curve", Signal: finding.Danger,
	Title: "Fast enough to tip over in the tightest curve",
	What: "Holds the top speed, as computed at the setting with full packs or as measured on a run, against the speed at which the tightest curve tips the vehicle with its payload, or a wagon. " +
		"Above half of the sideways acceleration that tips it a WARNING, from the whole on a DANGER. That somebody slows down for the curve is not counted on.",
	Why:     "Riders of a small train sit high over a narrow track, and it goes over without a warning. They fall outward, and vehicle and wagons fall on them.",
	Needs:   "`track-width` and `curve` in `drive`, `vehicle-height` and `payload-height` in `masses`, `height` of wagons that people ride on; `motors` or a run with its speed",
	Formula: "v² / (r g) <= 1/2 * b / h, see `overturning`",
	Units:   "v in m/s, curve's radius r, half the track width b and height of the centre of mass h in m",
	Range:   "a rigid body on a level track",
	Source: "The speed that tips: statics, and an exercise of a textbook agrees (see `overturning`). " +
		"Half of the acceleration, for riders who lean and rails that are not true, and a DANGER from the whole on: own choice, no source.",
	Example: "  drive: {track-width: 127 mm, curve: 6 m}",
}}

// steadyPart is the part of the sideways acceleration that tips a vehicle that it may come to.
const steadyPart = 0.5

func judgeOverturnsInCurve(s *subject) []verdict {
	first, lacks, stated := study.TippingOf(s.version)
	d, u := s.version.Drive, s.version.Use
	cannotTell := func() []verdict {
		ridden := u != nil && u.Rider.Set && u.Rider.Value != journal.Nobody
		if d == nil || !ridden || !stated && u.As.Value != journal.Railway {
			return nil
		}
		return cannot(s.atDrive(), "whether the tightest curve tips it over", "it lacks `"+strings.Join(lacks, "`, `")+"`", "measure and state them in `drive` and `masses`; until then take curves at a walk.")
	}
	if first == nil {
		return cannotTell()
	}
	computed := quantity.Missing[quantity.MetresPerSecond]()
	if driven := s.driving(); driven != nil {
		computed = driven.Top.Speed
	}
	speed, how := s.fastest(computed)
	steady := quantity.MetresPerSecond(math.Sqrt(steadyPart) * float64(first.From))
	if !above(speed, steady) {
		if len(lacks) > 0 {
			return cannotTell()
		}
		return nil
	}
	advised := quantity.MetresPerSecond(math.Floor(36*float64(steady)) / 36) // a tenth of a kilometre an hour, never rounded up
	v := verdict{signal: finding.SignalWarning, at: d.Curve.Span, gauge: slowest(speed, steady, ""),
		related: []finding.Related{{Span: first.Span, Text: "how high the centre of mass is"}},
		text: fmt.Sprintf("it goes %s, %s: in the curve of %s that is %s of the sideways pull that tips %s over, and a rider who leans outward may do the rest",
			kmh(speed), how, d.Curve.Written, percent(math.Pow(float64(speed/first.From), 2)), first.What),
		remedy: fmt.Sprintf("take that curve at no more than %s: set the controller so, and mark the curve beside the track. Sit low, and let nobody lean outward.", kmh(advised))}
	if !below(speed, first.From) {
		v.signal = finding.Danger
		v.text = fmt.Sprintf("it goes %s, %s, and the curve of %s tips %s over from %s on", kmh(speed), how, d.Curve.Written, first.What, kmh(first.From))
	}
	return said(v)
}

// percent is a part in whole percent, cut off: what is not yet reached is not called 100 %.
func percent(part float64) string { return fmt.Sprintf("%.0f %%", math.Floor(100*part)) }
