package standing

import (
	"html/template"
	"slices"
	"strings"
	"unicode/utf8"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/linked"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
	"voltwright/internal/standing"
	"voltwright/internal/study"
)

// view is the view of a version's answers.
type view struct {
	Version, Vehicle frame.Link
	Number           int
	Answers          []answerView
}

// answerView is one answer. Where a question of the journal stands in its place it has that one's words,
// and what the version answers by itself folds under them.
type answerView struct {
	Leaf    frame.Leaf
	Said    [][]numeral.Phrase
	Missing string // "Not measured yet. A field run …"; "" where it is answered
	Written *frame.Link
	Opening template.HTML // of what is written
}

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Version) error {
	body := view{Version: frame.Link{Words: reading.VersionWords(v), Href: s.To(address.Version(v))}, Vehicle: frame.Link{Words: v.Vehicle.Name.Text, Href: s.To(address.Vehicle(v.Vehicle))}, Number: v.Number}
	var all []linked.Said
	for _, a := range standing.Of(rd.Values, results(rd), v) {
		row, anchor := answerView{}, s.Anchor(a.Name)
		words := a.Words()
		if a.Written != nil {
			opening, err := prose.Opening(rd, s, a.Written.Document())
			if err != nil {
				return err
			}
			row.Written, row.Opening = &frame.Link{Words: a.Written.Title.Text, Href: s.To(address.Question(a.Written))}, opening
			words = linked.AnswerText(rd, a.Written)
		}
		row.Missing = a.Standing()
		for _, sentence := range a.Said {
			row.Said = append(row.Said, phrases(rd, s, sentence))
		}
		all = append(all, linked.Said{Question: a.Question, Words: numeral.OnPage(words), Anchor: anchor, Known: a.State == standing.Answered})
		row.Leaf = frame.NewLeaf(anchor, "", a.Question, face(row, numeral.OnPage(words))...)
		body.Answers = append(body.Answers, row)
	}
	rd.Inspect(s, nil, []string{v.Note.Path})
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Answers", frame.DayOf(frame.Newest(v.Date)), "version "+reading.VersionNumber(v)
	s.Linked = linked.Answers(rd, s, all)
	s.Marks, s.Body = true, body
	return nil
}

// faceLength is how many characters the sentences on a face have together, if there is more than one. Our own choice.
const faceLength = 170

// face is what a reader sees of an answer while it is folded: its first sentences, the written ones where there are any.
func face(row answerView, words string) []numeral.Phrase {
	if row.Written == nil && len(row.Said) > 0 {
		out, length := row.Said[0], lengthOf(row.Said[0])
		for _, sentence := range row.Said[1:] {
			if length += 1 + lengthOf(sentence); length > faceLength {
				break
			}
			out = append(append(slices.Clone(out), numeral.Say(" ")), sentence...)
		}
		return out
	}
	if row.Written == nil {
		words = row.Missing
	}
	first := ""
	for sentence := range strings.SplitAfterSeq(words, ". ") {
		if first != "" && utf8.RuneCountInString(first+sentence) > faceLength {
			break
		}
		first += sentence
	}
	return []numeral.Phrase{numeral.Say(strings.TrimSpace(first))}
}

// lengthOf is how many characters a sentence has.
func lengthOf(sentence []numeral.Phrase) int {
	n := 0
	for _, p := range sentence {
		n += utf8.RuneCountInString(p.Text)
		if p.Num != nil {
			n += utf8.RuneCountInString(p.Num.Whole)
		}
	}
	return n
}

// results are those of the journal; where nothing was computed none is known.
func results(rd *reading.Reader) *study.Results {
	if rd.Results == nil {
		return study.NewResults()
	}
	return rd.Results
}

func phrases(rd *reading.Reader, s *frame.Sheet, sentence []standing.Piece) []numeral.Phrase {
	var out []numeral.Phrase
	for _, p := range sentence {
		if p.Value == nil {
			out = append(out, numeral.Say(numeral.Unbroken(numeral.OnPage(p.Text))))
			continue
		}
		out = append(out, numeral.SayNumber(prose.NumeralOf(rd, s, *p.Value)))
	}
	return out
}
