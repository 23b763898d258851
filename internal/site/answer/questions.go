package answer

import (
	"cmp"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// QuestionRow is a question in a list, with the first sentence of its answer.
type QuestionRow struct {
	Question frame.Link
	Short    string
	State    string
	Asked    []string
	Changed  *frame.Day
}

// RowOf is the line of a question in a list on page s.
func RowOf(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) QuestionRow {
	row := QuestionRow{Question: frame.Link{Words: cmp.Or(n.Title.Text, n.Slug), Href: s.To(address.Question(n))}, State: "not measured yet"}
	if k := len(n.Question.Runs); k > 0 {
		row.State = "rests on " + numeral.Count(k, "run")
	}
	if said := notes.Sentences(rd.PlainOpening(n)); len(said) > 0 {
		row.Short = numeral.Unbroken(numeral.OnPage(said[0]))
	}
	for _, w := range n.Question.Asked {
		row.Asked = append(row.Asked, w.Text)
	}
	row.Changed, _ = rd.LastChanged(s, n)
	return row
}
