// Package question lays out the page of a question: its answer, and what that rests on.
package question

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of a question: its answer, and what that rests on.
var Kind = reading.Kind{Name: "question", Words: "Question", Weight: 1.5, First: true, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	var out []reading.Page
	for _, n := range rd.Journal.Questions {
		p := reading.Page{At: address.Question(n), Note: n.Note, Title: n.Title.Text, Trail: []frame.Link{{Words: "Questions", Href: address.Questions}, reading.NoteLink(n)}, Lay: func(s *frame.Sheet) error { return lay(rd, s, n) }}
		p.Before, p.After = reading.Beside(rd.Journal.Questions, n, reading.NoteLink, "Question before", "Next question")
		out = append(out, p)
	}
	return out
}}
