package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// packUnfused asks whether a pack has a fuse on every way out.
var packUnfused = &rule{each: eachVersion, judge: judgePackUnfused, doc: finding.Doc{
	Name: "pack-unfused", Signal: finding.Danger,
	Title: "A pack without a fuse",
	What: "Follows every lead from a pack's positive terminal until it meets a fuse or breaker. What it meets first instead is not protected. A WARNING, and a DANGER where the pack can give 500 A into a short. " +
		"Sockets for a charger have a rule of their own.",
	Why:     "A lead that chafes through, or a spanner that slips, then draws all that the pack can give: the lead glows within seconds.",
	Needs:   "`wiring`; for the DANGER, `resistance` and full voltage of the pack",
	Formula: "short-circuit current = full voltage / resistance of the pack",
	Source:  "33 CFR 183.455(b) (confirmed). 500 A as the bound of a DANGER: own choice, no source.",
	Example: "  wiring: {parts: [{name: pack, kind: pack}, {name: main fuse, kind: fuse, current: 30 A}]}",
}}

// hundreds is the short-circuit current from which an unfused pack is a DANGER.
const hundreds = 500

func judgePackUnfused(s *subject) []verdict {
	const question = "whether fuses, leads and contacts suit what they carry"
	if s.version.Wiring == nil && len(s.version.Motors) > 0 {
		return cannot(s.version.Note.KindSpan, question, "`wiring` is not stated", "state its parts and leads; `voltwright explain wiring` says how.")
	}
	return wiringRule{
		of: []circuit.Rule{circuit.FuseMissing}, question: question,
		skip: func(f *failing) bool { return f.others(circuit.ChargerSocket) == "" },
		signal: func(f *failing) finding.Signal {
			if below(f.short(), hundreds) {
				return finding.SignalWarning
			}
			return finding.Danger
		},
		text: func(f *failing) string {
			text := fmt.Sprintf("%s reaches %s without a fuse", f.name(), f.others(circuit.ChargerSocket))
			if amps := f.short(); amps > 0 {
				text += fmt.Sprintf(", and it can give about %s into a short: enough to make the leads glow", rough(quantity.Exact(amps).Quantity()))
			}
			return text
		},
		remedy: first("take the pack off. Then put a fuse for direct current in the lead at its positive terminal, no further than 178 mm along it, before it is joined again."),
	}.judge(s)
}
