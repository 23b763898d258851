package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// dischargeRate asks whether a run drew more than the packs may give without end.
var dischargeRate = &rule{each: eachRun, judge: judgeDischargeRate, doc: finding.Doc{
	Name: "discharge-rate", Signal: finding.SignalWarning,
	Title:   "A run exceeded the packs' rated discharge current",
	What:    "Holds the current of a run that is exceeded in no more than 5 % of the time, or where that is not known its mean, against the greatest steady discharge of all packs together. A CAUTION, and from half as much again on a WARNING.",
	Why:     "Cells that give more than they are made for heat up from inside, and the heat is felt late.",
	Needs:   "`discharge` of every pack, and a run with currents",
	Formula: "most = sum of `discharge` over the packs",
	Source:  "The limit is the pack's own data sheet, as stated. Half as much again: own choice, no source.",
	Example: "  packs: [{chemistry: lfp, series: 7, capacity: 14 Ah, discharge: 28 A}]",
}}

// farTooMuch is the part of a rated current from which on a caution becomes a warning.
const farTooMuch = 1.5

func judgeDischargeRate(s *subject) []verdict {
	r := s.result()
	if !draws(s.run) || r == nil || len(s.version.Packs) == 0 {
		return nil
	}
	amps := steady(r)
	if !amps.Known() {
		return nil
	}
	limit, ok := s.rated()
	if !ok {
		return cannot(s.version.Packs[0].Span, "whether a run drew more than the packs may give", "`discharge` is not stated for every pack", "state the greatest steady discharge from the pack's data sheet or label.")
	}
	if !above(amps.Value, limit) {
		return nil
	}
	v := verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: most("steady current", amps.Value, limit, ""),
		text:   fmt.Sprintf("this run drew %s, and the packs may give %s steadily", amps, quantity.Brief(limit)),
		remedy: "draw less: a lower setting, a lighter train, a lower gear; or share the load between more cells. Feel the pack after each round until then."}
	if !below(amps.Value, farTooMuch*limit) {
		v.signal = finding.SignalWarning
	}
	return said(v)
}

// rated is the greatest steady discharge of all packs together; false where one does not state it.
func (s *subject) rated() (quantity.Amperes, bool) {
	var sum quantity.Amperes
	for i := range s.version.Packs {
		d := s.version.Packs[i].Discharge
		if !d.Known() {
			return 0, false
		}
		sum += d.Value
	}
	return sum, len(s.version.Packs) > 0
}
