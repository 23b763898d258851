package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// touchVoltage asks whether a pack that is being charged is above what may be touched.
var touchVoltage = &rule{each: eachPack, judge: judgeTouchVoltage, doc: finding.Doc{
	Name: "touch-voltage", Signal: finding.SignalWarning,
	Title: "Voltage above the limit for touchable parts",
	What: "Holds the greatest voltage of each pack, full or while it is charged, against 30 V of direct current, and where `use` says that nothing gets wet against 60 V. Between 30 V and 60 V a CAUTION, above 60 V a WARNING, above 120 V a DANGER. " +
		"The limits are for direct current without ripple: where the charger's output is pulsed, a CAUTION from 30 V on even in the dry.",
	Why:     "Dry skin keeps a direct current small up to 60 V; wet hands, rain or bare feet on the ground do not. Above it a touch with both hands may stop a heart, and an arc does not go out by itself.",
	Needs:   "`full` of the pack, else its chemistry and cells in series; the charger's `voltage`; `wet` in `use`, else it is taken to get wet",
	Formula: "U = the greater of the pack's full voltage and the charger's voltage",
	Source:  "60 V in the dry and 30 V elsewhere, ripple-free: BS 7671 414.4.5 and IEC 60598-1:2008 8.2.3, as others quote them (second-hand). 120 V: from memory.",
	Example: "  use: {as: work, rider: adult, wet: no}",
}}

const (
	wetLimit quantity.Volts = 30
	dryLimit quantity.Volts = 60
	lethal   quantity.Volts = 120
)

func judgeTouchVoltage(s *subject) []verdict {
	volts := s.version.ChargingVoltage(s.pack)
	dry := s.version.Use != nil && s.version.Use.Wet.Set && !s.version.Use.Wet.Value
	pulsed := s.version.Charger != nil && s.version.Charger.Pulsed.Value
	limit, where := wetLimit, "where it can get wet"
	if dry && !pulsed {
		limit, where = dryLimit, "in the dry"
	}
	if !volts.Known() || !above(volts.Value, limit) {
		return nil
	}
	at := s.pack.Span
	if s.pack.Full.Set {
		at = s.pack.Full.Span
	}
	v := verdict{signal: finding.Caution, at: at, gauge: most("voltage while charging", volts.Value, limit, ""),
		text:   fmt.Sprintf("%s has up to %s: live parts above %s of direct current are not left bare %s", s.thePack(), quantity.Brief(volts.Value), quantity.Brief(limit), where),
		remedy: "cover every live part so that no finger reaches it, the charger's pins as well; keep hands dry when it is joined or parted. If it is only used and charged in the dry, write `wet: no` in `use`."}
	if dry && pulsed {
		v.text = fmt.Sprintf("%s has up to %s from a charger whose output is pulsed: the limit of %s in the dry is for direct current without ripple, and no source gives one for pulses", s.thePack(), quantity.Brief(volts.Value), quantity.Brief(dryLimit))
		v.remedy = "cover every live part so that no finger reaches it, the charger's pins as well; plug in with dry hands, with the charger off."
	}
	if above(volts.Value, dryLimit) {
		v.signal = finding.SignalWarning
		v.gauge = most("voltage while charging", volts.Value, dryLimit, "")
		v.text = fmt.Sprintf("%s has up to %s: above %s of direct current a touch can kill even in the dry, and an arc does not go out by itself", s.thePack(), quantity.Brief(volts.Value), quantity.Brief(dryLimit))
		v.remedy = "do not work on it alone or with the pack joined. Have it made, or at least seen, by somebody licensed for this voltage; or use fewer cells in series."
	}
	if above(volts.Value, lethal) {
		v.signal = finding.Danger
	}
	return said(v)
}
