package safety

import (
	"fmt"
	"strings"

	"voltwright/internal/drive"
	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// driving is how the version drives; nil where nothing of it was computed.
func (s *subject) driving() *drivetrain.Performance {
	d := s.results.Drive(s.version.Path())
	if d == nil || d.Err != "" {
		return nil
	}
	return d
}

// undriven says why nothing was computed of a version that states motors; "" where something was.
func (s *subject) undriven() string {
	d := s.results.Drive(s.version.Path())
	switch {
	case len(s.version.Motors) == 0:
		return ""
	case d.Err != "":
		return inSentence(d.Err)
	}
	return inSentence(d.NoSpeed)
}

// inSentence is a sentence as part of another.
func inSentence(text string) string {
	text = strings.TrimSuffix(text, ".")
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// atDrive is where the front matter speaks of the drive, else of the first motor. A version with neither drives nothing, and nothing is said of how.
func (s *subject) atDrive() finding.Span {
	if d := s.version.Drive; d != nil {
		return d.Span
	}
	return s.version.Motors[0].Span
}

// fullest is the greatest full voltage among the packs; missing where one does not say it.
func (s *subject) fullest() quantity.Measured[quantity.Volts] {
	out := quantity.Missing[quantity.Volts]()
	for i := range s.version.Packs {
		full := s.version.Packs[i].FullVoltage()
		if !full.Known() {
			return full
		}
		if i == 0 || full.Value > out.Value {
			out = full
		}
	}
	return out
}

// opened is the part of the packs' voltage that the motors get at most: the
// setting of a controller that chops, else all of it.
func (s *subject) opened() quantity.Fraction {
	if c := s.version.Controller; c != nil && c.Setting.Known() && (!c.Kind.Set || c.Kind.Value == journal.PWM) {
		return c.Setting.Value
	}
	return 1
}

// grave gives the graver word where a value is so many times its limit or more.
func grave[K quantity.Kind](value, limit K, times float64, mild, graver finding.Signal) finding.Signal {
	if below(value, K(times*float64(limit))) {
		return mild
	}
	return graver
}

// keptTo is a speed that somebody keeps to on small railways and paths, and its source with its status.
func keptTo(who string) (quantity.MetresPerSecond, string) {
	for _, r := range drive.SpeedRules() {
		if strings.HasPrefix(r.Who, who) {
			return r.Speed, fmt.Sprintf("%s: %s (%s)", r.Who, r.Rule, r.Status)
		}
	}
	panic("no speed rule of " + who)
}

// kmh is a speed as a rider reads it.
func kmh(v quantity.MetresPerSecond) string { return fmt.Sprintf("%.3g km/h", 3.6*float64(v)) }

// slowest holds a speed against the most that it may be, in kilometres an hour.
func slowest(value, limit quantity.MetresPerSecond, source string) *finding.Gauge {
	g := most("top speed", value, limit, source)
	g.Written, g.Bound = kmh(value), kmh(limit)
	return g
}

// times is a ratio in words: "1.4 times".
func times(x float64) string { return fmt.Sprintf("%.2g times", x) }

// grade is a fraction as a grade, without its direction: "1 in 40 (2.5 %)".
func grade(g drive.Grade) string {
	return strings.NewReplacer(" up ", " ", " down ", " ", "(-", "(").Replace(g.String())
}
