package safety

import (
	"voltwright/internal/journal"
	"voltwright/internal/study"
)

// AgainstCharger names the first rule that says that a version's own charger does
// not fit its packs: by chemistry, by voltage, by current. It is "" where none
// does. It rests on the front matter alone.
func AgainstCharger(v *journal.Version) string {
	g := v.Charger
	if g == nil || v.Note.Broken {
		return ""
	}
	s := subject{version: v, results: study.NewResults()}
	speaks := func(r *rule) bool {
		for _, said := range r.judge(&s) {
			if said.signal != "" && (said.at == g.Chemistry.Span || said.at == g.Voltage.Span || said.at == g.Current.Span) {
				return true
			}
		}
		return false
	}
	for i := range v.Packs {
		s.pack = &v.Packs[i]
		for _, r := range []*rule{chargerChemistry, chargeVoltageHigh, chargerAbovePack} {
			if speaks(r) {
				return r.doc.Name
			}
		}
	}
	if s.pack = nil; speaks(chargeCurrentHigh) {
		return chargeCurrentHigh.doc.Name
	}
	return ""
}
