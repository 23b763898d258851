package site

import "voltwright/internal/journal"

// straightTo is where readers want to be on the sheets of a version, in the order of what they ask most: a link to each
// place, so that nobody leafs through a long sheet for one answer. What the sheets do not have is left out.
func (b *builder) straightTo(s *sheet, v *journal.Version) []link {
	var to []link
	at := func(anchor, words string) {
		to = append(to, link{Words: words, Href: s.to(versionPage(v)) + "#" + anchor})
	}
	answers, wired := b.answers(v), b.wired(v)
	if answers != nil {
		at("run-time", "How long it runs")
	}
	for _, n := range b.in.Journal.Questions {
		if q := n.Question; q.Predicted.Version == v && b.reckons(q) {
			to = append(to, link{Words: "With other numbers", Href: s.to(questionPage(n)) + "#your-numbers"})
			break
		}
	}
	if answers != nil && answers.Err == "" {
		at("charging", "Charging and wear")
	}
	if wired != nil && len(wired.Whips) > 0 {
		at("cut-list", "Leads and their sizes")
	}
	if len(v.Parts) > 0 {
		at("parts", "Parts, fuses, prices")
	}
	if v.Before != nil {
		at("what-changed", "What changed")
	}
	if run := b.best(v); run != nil {
		to = append(to, link{Words: "The log", Href: s.to(runPage(run)) + "#evidence"})
	}
	at("cautions", "Cautions")
	return to
}
