package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/study"
)

// sagOpensCutout asks whether the usual load pulls a half-full pack below the cutout.
var sagOpensCutout = &rule{each: eachVersion, judge: judgeSagOpensCutout, doc: finding.Doc{
	Name: "sag-opens-cutout", Signal: finding.PropertyNotice,
	Title: "Sag opens the cutout with the pack half full",
	What: "Takes the greatest steady current of the version's runs and the resistance of the packs, and asks whether a half-full pack would sag to the cutout's opening. " +
		"Where a pack states none, takes what its runs taught or what is typical, and speaks only if the cutout opens with the least that it may be; where that leaves it open, it says that it cannot judge.",
	Why:     "The vehicle stops with half its charge unused, on slopes and starts first. That is a nuisance, and a setting that is turned down for it until the cells are harmed.",
	Needs:   "`opens` of the cutout, and a run with currents; `resistance` of every pack makes it sharper",
	Formula: "U = cells in series × OCV(50 %) − I · R, R that of all packs side by side",
	Units:   "V, A, Ω",
	Source: "Open-circuit curve of the chemistry, with its source and status there. Half full: own choice, no source. A taken resistance: see run-time; " +
		"the least that it may be is its value less its expanded uncertainty, a third of it at least: own choice, no source.",
	Example: "  cutout: {opens: 23.4 V, delay: 3 s}",
}}

func judgeSagOpensCutout(s *subject) []verdict {
	p, ok := s.alike()
	c := s.version.Cutout
	run, amps := s.heaviest()
	if !ok || c == nil || !c.Opens.Known() || run == nil {
		return nil
	}
	const question, state = "whether sag opens the cutout early", "state the pack's internal resistance, from its data sheet or from a run with a current step."
	bank, taken := study.BankResistance(s.version, s.answers())
	if !bank.Known() {
		return nil // a pack without a capacity is written wrong, which is an error of its own
	}
	cells, series, _ := cellsOf(p)
	half, _ := cells.Curve().At(0.5)
	loadedWith := func(r quantity.Ohms) (sag, loaded quantity.Volts) {
		sag = quantity.Volts(float64(amps.Value) * float64(r))
		return sag, half*series - sag
	}
	r, about, certain := bank.Value, "", ""
	if taken != "" {
		least, most := study.LeastOf(bank), bank.Value+bank.Expanded()
		_, low := loadedWith(most)
		_, high := loadedWith(least)
		if !above(low, c.Opens.Value) && above(high, c.Opens.Value) {
			return cannot(p.Span, question, fmt.Sprintf("`resistance` is not stated for every pack. What is taken, %s, may be anything from %s to %s, and a half-full pack then stands between %s and %s under load, with the cutout at %s",
				taken, quantity.Rough(least), quantity.Rough(most), quantity.Brief(low), quantity.Brief(high), c.Opens.Written), state)
		}
		r, certain = least, " State the pack's `resistance` to know it more closely."
		about = fmt.Sprintf(". No resistance is stated: the least that it may be, %s, is taken; %s is %s", quantity.Rough(least), quantity.Rough(bank.Value), taken)
	}
	sag, loaded := loadedWith(r)
	if above(loaded, c.Opens.Value) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: c.Opens.Span, gauge: least("loaded voltage, half full", loaded, c.Opens.Value, ""),
		related: []finding.Related{{Span: run.EvidenceSpan(), Text: "the run that drew this current"}},
		text:    fmt.Sprintf("at %s a half-full pack sags by %s to %s, and the cutout opens at %s: it ends the run with half the charge unused%s", amps, three(quantity.Exact(sag).Quantity()), quantity.Brief(loaded), c.Opens.Written, about),
		remedy:  "do not lower the cutout below the cells' floor for this. Draw less, give it a delay that outlasts a start, or use cells of less resistance." + certain})
}
