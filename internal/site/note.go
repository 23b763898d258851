package site

import (
	"html/template"
	"path"

	"voltwright/internal/journal"
)

// noteView is the view of a note, a question or a correction.
type noteView struct {
	Kind  string
	Date  *day
	Story template.HTML
}

func (b *builder) note(s *sheet, n *journal.NotePage) error {
	story, err := b.prose(s, n.Document, 1)
	if err != nil {
		return err
	}
	v := noteView{Date: dayOf(n.Date), Story: story, Kind: "Note"}
	for _, kind := range noteKinds {
		if path.Dir(n.Note.Path) == kind.folder {
			v.Kind = kind.one
		}
	}
	b.inspect(s, []string{n.Note.Path}, nil)
	s.Block.Type, s.Block.Issued, s.Block.Revision = v.Kind, v.Date, "first issue"
	s.Body = v
	return nil
}
