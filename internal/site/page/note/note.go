package note

import (
	"html/template"
	"path"

	"voltwright/internal/journal"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
)

// noteView is the view of a note, a question or a correction.
type noteView struct {
	Kind  string
	Date  *frame.Day
	Story template.HTML
}

func lay(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) error {
	story, err := prose.Render(rd, s, n.Document(), 1)
	if err != nil {
		return err
	}
	v := noteView{Date: frame.DayOf(n.Date), Story: story, Kind: "Note"}
	for _, kind := range reading.NoteKinds {
		if path.Dir(n.Note.Path) == kind.Folder {
			v.Kind = kind.One
		}
	}
	rd.Inspect(s, []string{n.Note.Path}, nil)
	s.Block.Type, s.Block.Issued, s.Block.Revision = v.Kind, v.Date, "first issue"
	s.Body = v
	return nil
}
