package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// sagOpensCutout asks whether the usual load pulls a half-full pack below the cutout.
var sagOpensCutout = &rule{each: eachVersion, judge: judgeSagOpensCutout, doc: finding.Doc{
	Name: "sag-opens-cutout", Signal: finding.PropertyNotice,
	Title:   "Sag opens the cutout with the pack half full",
	What:    "Takes the greatest steady current of the version's runs and the stated resistance of the packs, and asks whether a half-full pack would sag to the cutout's opening.",
	Why:     "The vehicle stops with half its charge unused, on slopes and starts first. That is a nuisance, and a setting that is turned down for it until the cells are harmed.",
	Needs:   "`opens` of the cutout, `resistance` of every pack, and a run with currents",
	Formula: "U = cells in series × OCV(50 %) − I · R, R that of all packs side by side",
	Units:   "V, A, Ω",
	Source:  "Open-circuit curve of the chemistry, with its source there (confirmed for most). Half full: our own choice, no source.",
	Example: "  cutout: {opens: 23.4 V, delay: 3 s}",
}}

func judgeSagOpensCutout(s *subject) []verdict {
	p, ok := s.alike()
	c := s.version.Cutout
	run, amps := s.heaviest()
	if !ok || c == nil || !c.Opens.Known() || run == nil {
		return nil
	}
	const question = "whether sag opens the cutout early"
	var siemens float64
	for i := range s.version.Packs {
		r := s.version.Packs[i].Resistance
		if !r.Known() {
			return cannot(s.version.Packs[i].Span, question, "`resistance` is not stated for every pack", "state the pack's internal resistance, from its data sheet or from a run with a current step.")
		}
		siemens += 1 / float64(r.Value)
	}
	cells, series, _ := cellsOf(p)
	half, _ := cells.Curve().At(0.5)
	sag := quantity.Volts(float64(amps.Value) / siemens)
	loaded := half*series - sag
	if above(loaded, c.Opens.Value) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: c.Opens.Span, gauge: least("loaded voltage, half full", loaded, c.Opens.Value, ""),
		related: []finding.Related{{Span: run.EvidenceSpan(), Text: "the run that drew this current"}},
		text:    fmt.Sprintf("at %s a half-full pack sags by %s to %s, and the cutout opens at %s: it ends the run with half the charge unused", amps, quantity.Brief(sag), quantity.Brief(loaded), c.Opens.Written),
		remedy:  "do not lower the cutout below the cells' floor for this. Draw less, give it a delay that outlasts a start, or use cells of less resistance."})
}
