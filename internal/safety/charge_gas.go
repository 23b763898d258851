package safety

import "voltwright/internal/finding"

// chargeGas asks whether the hydrogen of lead-acid batteries can get away.
var chargeGas = &rule{each: eachVersion, judge: judgeChargeGas, doc: finding.Doc{
	Name: "charge-gas", Signal: finding.SignalWarning,
	Title:   "Hydrogen that cannot get away",
	What:    "Looks at `ventilated` of the charger, where a battery is of lead-acid. A WARNING for flooded batteries, a CAUTION for sealed ones.",
	Why:     "At the end of a charge lead-acid batteries give off hydrogen, sealed ones when they are overcharged. Four parts in a hundred of air explode at the spark of a clip.",
	Needs:   "`ventilated` of the `charger`",
	Source:  "Lower explosion limit of hydrogen, 4.1 % by volume: OSHA letter 1976-01-26 (confirmed). Rooms where vehicles charge: 5 to 10 changes of air an hour, HSE SR18 (confirmed). IEC 62485-2: from memory.",
	Example: "  charger: {chemistry: lead-acid-agm, ventilated: yes}",
}}

func judgeChargeGas(s *subject) []verdict {
	flooded, lead := false, false
	for _, p := range s.version.Packs {
		lead = lead || p.Chemistry.Value.Family() == leadAcid
		flooded = flooded || p.Chemistry.Value == "lead-acid-flooded"
	}
	if !lead {
		return nil
	}
	g := s.version.Charger
	if g == nil || !g.Ventilated.Set {
		return cannotCharger(s, "whether hydrogen can get away while it charges", "ventilated")
	}
	if g.Ventilated.Value {
		return nil
	}
	v := verdict{signal: finding.Caution, at: g.Ventilated.Span, numbers: "ventilated: no",
		text:   "a lead-acid battery charges here without moving air: the hydrogen that it gives off gathers under the roof and explodes at a spark",
		remedy: "open a door or a window high up while it charges. Switch the charger off before you take its clips off."}
	if flooded {
		v.signal = finding.SignalWarning
	}
	return said(v)
}
