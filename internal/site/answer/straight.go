package answer

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// StraightTo is where readers want to be on the sheets of a version, in the order of what they ask most: a link to each
// place, so that nobody leafs through a long sheet for one answer. What the sheets do not have is left out.
func StraightTo(rd *reading.Reader, s *frame.Sheet, v *journal.Version) []frame.Link {
	var to []frame.Link
	at := func(anchor, words string) {
		to = append(to, frame.Link{Words: words, Href: s.To(address.Version(v)) + "#" + anchor})
	}
	answers, wired := rd.Answers(v), rd.Wired(v)
	to = append(to, frame.Link{Words: "What readers ask", Href: s.To(address.Standing(v))})
	if answers != nil {
		at("run-time", "How long it runs")
	}
	for _, n := range rd.Journal.Questions {
		if q := n.Question; q.Predicted.Version == v && forecast.Reckons(rd, q) {
			to = append(to, frame.Link{Words: "With other numbers", Href: s.To(address.Question(n)) + "#your-numbers"})
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
	if run := rd.Best(v); run != nil {
		to = append(to, frame.Link{Words: "The log", Href: s.To(address.Run(run)) + "#evidence"})
	}
	at("cautions", "Cautions")
	return to
}
