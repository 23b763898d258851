package site

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io/fs"
	"net/url"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// methodView is the view of the method page.
type methodView struct {
	Formulas, Rules []methodEntry
	Sources         []sourceRow
}

func (b *builder) method(s *sheet) error {
	var v methodView
	for _, d := range b.allDocs {
		switch d.Kind {
		case finding.FormulaDoc:
			v.Formulas = append(v.Formulas, entryOf(d))
		case finding.RuleDoc:
			v.Rules = append(v.Rules, entryOf(d))
		}
	}
	v.Sources = b.sourceRows(s)
	b.reference(s, "Method")
	s.Body = v
	return nil
}

// reference fills the title block of a page that is made by the program, not from a note.
func (b *builder) reference(s *sheet, kind string) {
	s.Block.Type, s.Block.Issued = kind, dayOf(b.newestOfAll())
	s.Block.Revision, s.Block.Inspection = or(b.in.Version, "as issued"), "no findings"
}

// glossaryView is the view of the page of words.
type glossaryView struct {
	caption
	Entries []glossaryWord
}

type glossaryWord struct {
	Word    string `json:"word"`
	Meaning string `json:"meaning"`
	Anchor  string `json:"-"`
}

// glossaryFile is the one place of the trade's words and what they mean.
const glossaryFile = themeName + "/glossary.json"

func (b *builder) glossary(s *sheet) error {
	text, err := fs.ReadFile(b.theme.layered, glossaryFile)
	if err != nil {
		return err
	}
	v := glossaryView{}
	if err := json.Unmarshal(text, &v.Entries); err != nil {
		return fmt.Errorf("%s: %w", glossaryFile, err)
	}
	slices.SortStableFunc(v.Entries, func(a, b glossaryWord) int {
		return cmp.Compare(strings.ToLower(a.Word), strings.ToLower(b.Word))
	})
	for i := range v.Entries {
		v.Entries[i].Anchor = s.anchor("w-" + notes.Slug(v.Entries[i].Word))
	}
	v.caption = s.table("words", "The trade's words as this journal uses them.")
	b.reference(s, "Words")
	s.Body = v
	return nil
}

// missing fills the page that a server shows for an address that is not there. It may be shown at any depth, so its
// links begin at the root of the site.
func (b *builder) missing(s *sheet) error {
	root := "/"
	if u, err := url.Parse(b.in.Journal.Address.Text); err == nil && u.Path != "" {
		root = strings.TrimSuffix(u.Path, "/") + "/"
	}
	s.Root = root
	for i := range s.Shelf {
		s.Shelf[i].Href = root + s.Shelf[i].Href
	}
	for i := range s.Trail {
		if s.Trail[i].Href != "" {
			s.Trail[i].Href = root + s.Trail[i].Href
		}
	}
	b.reference(s, "Notice")
	s.Body = link{Words: "the front page", Href: root + frontPage}
	return nil
}
