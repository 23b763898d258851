package safety

import "voltwright/internal/finding"

// chargeUnattended asks whether lithium-ion packs charge with nobody by.
var chargeUnattended = &rule{each: eachVersion, judge: judgeChargeUnattended, doc: finding.Doc{
	Name: "charge-unattended", Signal: finding.SignalWarning,
	Title:   "Charging with nobody there",
	What:    "Looks at `unattended` of the charger, where a pack is of lithium-ion cells.",
	Why:     "A lithium-ion fire starts small and is beyond a bucket within a minute. It is put out by whoever is awake and near.",
	Needs:   "`unattended` of the `charger`",
	Source:  "CPSC 2025 (be there, never asleep) and Kent Fire and Rescue (by day) (confirmed). Your own local fire service's advice goes before this.",
	Example: "  charger: {unattended: no, place: workshop}",
}}

func judgeChargeUnattended(s *subject) []verdict {
	if !anyBurns(s.version) {
		return nil
	}
	g := s.version.Charger
	if g == nil || !g.Unattended.Set {
		return cannotCharger(s, "whether somebody is there while it charges", "unattended")
	}
	if !g.Unattended.Value {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: g.Unattended.Span, numbers: "unattended: yes",
		text:   "lithium-ion packs charge here with nobody there: a fire would be found when it is too late to put out",
		remedy: "charge while you are awake and within earshot of a smoke alarm, with a timer on the mains; never overnight."})
}
