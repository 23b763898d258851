package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// socketUnfused asks whether a fuse stands between the packs and a charger's socket.
var socketUnfused = &rule{each: eachVersion, judge: judgeSocketUnfused, doc: finding.Doc{
	Name: "socket-unfused", Signal: finding.SignalWarning,
	Title:   "A charger's socket without a fuse",
	What:    "Looks among what a pack reaches without a fuse for the socket of a charger.",
	Why:     "Its leads are thin and its pins are within reach. What shorts them draws all that the pack can give, and the charger's own fuse does not see it.",
	Needs:   "`wiring`",
	Source:  "33 CFR 183.455(b) (confirmed), which asks for a fuse on every way out of a battery",
	Example: "  leads: [{from: \"pack:+\", to: \"charger fuse:in\"}, {from: \"charger fuse:out\", to: \"socket:+\"}]",
}}

func judgeSocketUnfused(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	for _, v := range w.Verdicts {
		if v.Rule != circuit.FuseMissing {
			continue
		}
		for _, i := range v.Parts {
			if w.Circuit.Parts[i].Kind != circuit.ChargerSocket {
				continue
			}
			pack, socket := w.Circuit.Parts[v.Subject.Part].Name, w.Circuit.Parts[i].Name
			return said(verdict{signal: finding.SignalWarning, at: s.atPart(i), numbers: pack + " to " + socket + ": no fuse",
				text:   fmt.Sprintf("`%s` is joined to `%s` without a fuse: a short in its leads or across its pins draws all that the pack can give", socket, pack),
				remedy: "take its positive lead off at the pack. Then put a fuse for a little more than the charger's current there, within 178 mm of the terminal."})
		}
	}
	return nil
}
