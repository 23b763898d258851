package questionlist

import (
	"fmt"

	"voltwright/internal/notes"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/linked"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// questionsView is the view of the list of questions.
type questionsView struct {
	Lead string
	Rows []answer.QuestionRow
}

func lay(rd *reading.Reader, s *frame.Sheet) error {
	j := rd.Journal
	v := questionsView{Lead: fmt.Sprintf("%s, the one asked most first. Each answer rests on runs, or says that nothing was measured yet.", numeral.Count(len(j.Questions), "question"))}
	var files []string
	for _, n := range j.Questions {
		v.Rows = append(v.Rows, answer.RowOf(rd, s, n))
		files = append(files, n.Note.Path)
	}
	var dates []notes.Date
	for _, n := range j.Questions {
		dates = append(dates, n.Date)
	}
	rd.Inspect(s, nil, files)
	s.Callouts = nil // they stand with the answers that they concern
	s.Block.Type, s.Block.Issued, s.Block.Revision = "List of questions", frame.DayOf(frame.Newest(dates...)), numeral.Count(len(j.Questions), "question")
	s.Linked = linked.LinkedQuestions(rd)
	s.Body = v
	return nil
}
