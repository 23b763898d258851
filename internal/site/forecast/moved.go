package forecast

import (
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// MovedLine is what was said for an answer before, until when and why, and the correction.
type MovedLine struct {
	Anchor     string // "" where the page has it elsewhere
	Of         string // what the answer is of; "" where the answer stands beside it
	Said       string // "" where the maker keeps no words that were taken back
	Until      *frame.Day
	Why        string // a sentence
	Correction frame.Link
}

// Moved is what was said before for one answer of a version, newest first.
func Moved(rd *reading.Reader, s *frame.Sheet, v *journal.Version, name string) (out []MovedLine) {
	if name == "" {
		return nil
	}
	rd.Journal.MovedOf(v, name, func(n *journal.NotePage, m *journal.MovedAnswer) { out = append(out, MovedBy(s, n, m)) })
	return out
}

// AllMoved is the same of every answer of a version, on its own page.
func AllMoved(rd *reading.Reader, s *frame.Sheet, v *journal.Version) (out []MovedLine) {
	rd.Journal.MovedOf(v, "", func(n *journal.NotePage, m *journal.MovedAnswer) {
		line := MovedBy(s, n, m)
		line.Anchor = s.Anchor(address.MovedAnchor(n, m))
		line.Of = answerLabel(rd, m)
		out = append(out, line)
	})
	return out
}

// MovedBy is what a correction says of one answer.
func MovedBy(s *frame.Sheet, n *journal.NotePage, m *journal.MovedAnswer) MovedLine {
	line := MovedLine{Said: m.Said.Text, Until: frame.DayOf(m.Day(n)), Why: numeral.OnPage(numeral.Sentence(plain(n.Correction.Found))),
		Correction: frame.Link{Words: n.Title.Text, Href: s.To(address.Correction(n))}}
	if !n.Correction.Struck() {
		line.Said = ""
	}
	return line
}

// answerLabel is what an answer is of, in words.
func answerLabel(rd *reading.Reader, m *journal.MovedAnswer) string {
	if v, broken := rd.Values.Find(m.Of.Version.Place(), m.Answer.Text); broken == nil {
		return strings.TrimSuffix(numeral.OnPage(v.Label), ".")
	}
	return m.Of.Name
}

// NowOf is what is computed for an answer that was another; not set where nothing is.
func NowOf(rd *reading.Reader, s *frame.Sheet, m *journal.MovedAnswer) (of string, now numeral.Numeral) {
	href := s.To(address.Version(m.Of.Version)) + "#run-time"
	if v, broken := rd.Values.Find(m.Of.Version.Place(), m.Answer.Text); broken == nil {
		if q, known := v.Quantity.Get(); known {
			now = numeral.Printed(q, numeral.Computed, href)
		}
	}
	return answerLabel(rd, m), now
}

// plain is a line without what its words are bound to.
func plain(l notes.Line) string {
	if len(l.Parts) == 0 {
		return l.Text
	}
	text := ""
	for _, part := range l.Parts {
		text += part.Text
	}
	return text
}
