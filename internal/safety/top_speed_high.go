package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// topSpeedHigh asks whether it goes faster than is usual for its kind and its riders.
var topSpeedHigh = &rule{each: eachVersion, judge: judgeTopSpeedHigh, doc: finding.Doc{
	Name: "top-speed-high", Signal: finding.SignalWarning,
	Title: "Faster than is usual for its kind",
	What: "Holds the top speed, as computed at the setting with full packs or as measured on a run, against speeds that others keep to. Railway: above 8 km/h a NOTICE, above 16.1 km/h a WARNING. " +
		"Toy: above walking pace, 6 km/h, a CAUTION, from twice that on a WARNING. Other vehicles: above 6 km/h a NOTICE, and a CAUTION where somebody walks beside.",
	Why:   "Energy and stopping distance grow with the square of the speed. Small vehicles have short wheelbases, high loads and riders without belts.",
	Needs: "`as` and `rider` in `use`; `motors`, `drive`, `masses`",
	Source: "Owners' rules, no law: NEOLS 8 km/h for trains with the public, MLES 16.1 km/h (both an owner's rule). Walking pace, 6 km/h: up to there EU 168/2013 knows no motor vehicle (second-hand). " +
		"EN 71-1:2005+A8:2009 says that there is no limit for electric toys for children over three (second-hand); the figures of later EN 71-1, ISO 8124-1 and ASTM F963 were not read and are not used. Twice: own choice, no source.",
	Example: "  use: {as: railway, rider: passengers}\n  drive: {top-speed: 8 km/h}",
}}

func judgeTopSpeedHigh(s *subject) []verdict {
	if why := s.undriven(); why != "" {
		return cannot(s.atDrive(), "how fast it goes, what its motors stand and how it stops", why, "state `motors`, `drive` and `masses`; `voltwright explain drive` says how.")
	}
	d, u := s.driving(), s.version.Use
	if d == nil || u == nil || !u.As.Set {
		return nil
	}
	speed, how := s.fastest(d.Top.Speed)
	walk, walkSource := keptTo("walking pace")
	club, clubSource := keptTo("NEOLS")
	clubs, clubsSource := keptTo("MLES")
	v := verdict{signal: finding.PropertyNotice, at: s.atDrive(), remedy: "turn the setting down until it is slower, and fix it there. Keep to the rules of the track or path that you use."}
	limit, source, of := walk, walkSource, "walking pace"
	switch {
	case u.As.Value == journal.Railway:
		if limit, source, of = club, clubSource, "what one railway club keeps to with the public"; above(speed, clubs) {
			v.signal, limit, source, of = finding.SignalWarning, clubs, clubsSource, "the most that any railway keeps to, of those whose rules were read"
		}
	case u.As.Value == journal.Toy:
		v.signal = grave(speed, walk, 2, finding.Caution, finding.SignalWarning)
	case u.Rider.Value == journal.Nobody:
		v.signal = finding.Caution
	}
	if !above(speed, limit) {
		return nil
	}
	v.gauge = slowest(speed, limit, source)
	v.text = fmt.Sprintf("it goes %s, %s, which is faster than %s, %s", kmh(speed), how, of, kmh(limit))
	return said(v)
}

// fastest is the greatest of the computed top speed and those that runs measured, and how it is known.
func (s *subject) fastest(computed quantity.Measured[quantity.MetresPerSecond]) (quantity.MetresPerSecond, string) {
	var speed quantity.MetresPerSecond
	how := ""
	if computed.Known() {
		speed, how = computed.Value, "as computed with full packs"
	}
	for _, r := range s.version.Runs {
		if result := s.of(r); draws(r) && r.Conditions.Surface.Value != journal.WheelsUp && result != nil && result.TopSpeed.Known() && result.TopSpeed.Value > speed {
			speed, how = result.TopSpeed.Value, "as measured on the run `"+r.Slug+"`"
		}
	}
	return speed, how
}
