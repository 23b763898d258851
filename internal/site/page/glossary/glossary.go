package glossary

import (
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// glossaryView is the view of the page of words.
type glossaryView struct {
	frame.Caption
	Entries []frame.Word
}

func lay(rd *reading.Reader, s *frame.Sheet) error {
	words, err := rd.Theme.Glossary()
	if err != nil {
		return err
	}
	v := glossaryView{Entries: words}
	v.Caption = s.Table("words", "The trade's words as this journal uses them.")
	rd.Reference(s, "Words")
	s.Body = v
	return nil
}
