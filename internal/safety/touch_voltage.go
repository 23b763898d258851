package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// touchVoltage asks whether a full pack is above what may be touched.
var touchVoltage = &rule{each: eachPack, judge: judgeTouchVoltage, doc: finding.Doc{
	Name: "touch-voltage", Signal: finding.SignalWarning,
	Title:   "More than 60 V",
	What:    "Holds the full voltage of each pack against 60 V of direct current. A WARNING, and above 120 V a DANGER.",
	Why:     "Up to 60 V dry skin keeps a direct current small; above it a touch with both hands may stop a heart, and an arc does not go out by itself.",
	Needs:   "`full` of the pack, else its chemistry and cells in series",
	Formula: "U = full voltage of the pack",
	Source:  "60 V and 120 V d.c. as limits of extra-low voltage: IEC 60364-4-41, from memory",
	Example: "  full: 25.2 V",
}}

const (
	touchLimit quantity.Volts = 60
	lethal     quantity.Volts = 120
)

func judgeTouchVoltage(s *subject) []verdict {
	full := s.pack.FullVoltage()
	if !full.Known() || !above(full.Value, touchLimit) {
		return nil
	}
	at := s.pack.Span
	if s.pack.Full.Set {
		at = s.pack.Full.Span
	}
	v := verdict{signal: finding.SignalWarning, at: at, gauge: most("full voltage", full.Value, touchLimit, ""),
		text:   fmt.Sprintf("%s has %s when it is full: above %s of direct current a touch can kill, and an arc does not go out by itself", s.thePack(), quantity.Brief(full.Value), quantity.Brief(touchLimit)),
		remedy: "do not work on it alone or with the pack joined. Have it made, or at least seen, by somebody licensed for this voltage; or use fewer cells in series."}
	if above(full.Value, lethal) {
		v.signal = finding.Danger
	}
	return said(v)
}
