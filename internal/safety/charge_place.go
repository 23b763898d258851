package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// chargePlace asks whether lithium-ion packs charge where people sleep or flee.
var chargePlace = &rule{each: eachVersion, judge: judgeChargePlace, doc: finding.Doc{
	Name: "charge-place", Signal: finding.SignalWarning,
	Title:   "Charging in a home or in the way out",
	What:    "Looks at `place` of the charger, where a pack is of lithium-ion cells: a way out is a WARNING, a living space a CAUTION.",
	Why:     "The smoke of a burning pack is poisonous and fills a room in a minute. In a hall or on a stair it closes the way out for everybody above.",
	Needs:   "`place` of the `charger`",
	Source:  "Advice of fire services: Humberside Fire and Rescue, outside the home where it can be and not on the way out (confirmed). Your own local fire service's advice goes before this.",
	Example: "  charger: {unattended: no, place: workshop}",
}}

func judgeChargePlace(s *subject) []verdict {
	if !anyBurns(s.version) {
		return nil
	}
	g := s.version.Charger
	if g == nil || !g.Place.Set {
		return cannotCharger(s, "whether it charges in a safe place", "place")
	}
	v := verdict{signal: finding.Caution, at: g.Place.Span, numbers: "place: " + string(g.Place.Value)}
	switch g.Place.Value {
	case journal.WayOut:
		v.signal = finding.SignalWarning
		v.text = "lithium-ion packs charge here in the way out of a building: a fire would close it for everybody inside"
		v.remedy = "charge outdoors or in a shed, away from doors and stairs, on something that does not burn."
	case journal.LivingSpace:
		v.text = "lithium-ion packs charge here in a room of a home: the smoke of a burning pack fills it in a minute"
		v.remedy = "charge outdoors or in a shed, on something that does not burn; if it must be a room, one with a smoke alarm and a door that shuts, and stay awake."
	default:
		return nil
	}
	return said(v)
}
