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
	"voltwright/themes"
)

// methodView is the view of a sheet of the method: of its formulas, or of its rules.
type methodView struct {
	Lead    string
	Other   link // the other sheet
	Head    string
	ID      string
	Entries []methodEntry
	Sources []sourceRow // that sentences quote
}

// methodPages are where the documents of each kind stand.
var methodPages = map[finding.Kind]string{finding.FormulaDoc: methodPage, finding.RuleDoc: rulesPage}

func (b *builder) method(s *sheet, kind finding.Kind) error {
	v := methodView{Lead: "Every formula that a number on these sheets rests on, with its source.", Head: "Formulas", ID: "formulas",
		Other: link{Words: "The rules of inspection", Href: s.to(rulesPage)}}
	if kind == finding.RuleDoc {
		v = methodView{Lead: "Every rule that inspection goes by, with its source.", Head: "Rules", ID: "rules",
			Other: link{Words: "The formulas", Href: s.to(methodPage)}}
	} else {
		v.Sources = b.sourceRows(s)
	}
	for _, d := range b.allDocs {
		if d.Kind == kind {
			v.Entries = append(v.Entries, entryOf(d))
		}
	}
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
	Word    string   `json:"word"`
	Also    []string `json:"also"` // other forms in which it is said
	Meaning string   `json:"meaning"`
	Anchor  string   `json:"-"`
}

// glossaryFile is the one place of the trade's words and what they mean.
const glossaryFile = themeName + "/glossary.json"

func (b *builder) glossary(s *sheet) error {
	words, err := b.glossaryWords()
	if err != nil {
		return err
	}
	v := glossaryView{Entries: words}
	v.caption = s.table("words", "The trade's words as this journal uses them.")
	b.reference(s, "Words")
	s.Body = v
	return nil
}

// missingView is the view of the page for what is not there.
type missingView struct{ Front, Search string }

// glossaryWords reads the words of the trade, in the order of the alphabet.
func (b *builder) glossaryWords() ([]glossaryWord, error) {
	text, err := fs.ReadFile(b.theme.layered, glossaryFile)
	if err != nil {
		return nil, err
	}
	var words []glossaryWord
	if err := json.Unmarshal(text, &words); err != nil && b.theme.replaced(glossaryFile) {
		b.theme.words(text, err)
		words = nil
		if text, err = fs.ReadFile(themes.FS, glossaryFile); err == nil {
			err = json.Unmarshal(text, &words)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", glossaryFile, err)
		}
	} else if err != nil {
		return nil, fmt.Errorf("%s: %w", glossaryFile, err)
	}
	slices.SortStableFunc(words, func(a, b glossaryWord) int {
		return cmp.Compare(strings.ToLower(a.Word), strings.ToLower(b.Word))
	})
	anchors := &sheet{}
	for i := range words {
		words[i].Anchor = anchors.anchor("w-" + notes.Slug(words[i].Word))
	}
	return words, nil
}

// missing fills the page that a server shows for an address that is not there. It may be shown at any depth, so its
// links begin at the root of the site, which the journal's address names. From disk, and where no address is stated and
// the site stands in a folder of its host, that is not where the site is: so the page asks for its style sheet on the way
// up as well, as far as the site is deep, and a script that is found there puts the links right.
func (b *builder) missing(s *sheet) error {
	root := "/"
	if u, err := url.Parse(b.in.Journal.Address.Text); err == nil && u.Path != "" {
		root = strings.TrimSuffix(u.Path, "/") + "/"
	}
	s.Root, s.Tries = root, []string{""}
	if !b.in.Journal.Address.Set {
		deepest := 0
		for _, p := range b.plans {
			deepest = max(deepest, strings.Count(p.sheet.path, "/"))
		}
		for up := range deepest {
			s.Tries = append(s.Tries, strings.Repeat("../", up+1))
		}
	}
	for i := range s.Shelf {
		s.Shelf[i].Href = root + s.Shelf[i].Href
	}
	for i := range s.Trail {
		if s.Trail[i].Href != "" {
			s.Trail[i].Href = root + s.Trail[i].Href
		}
	}
	b.reference(s, "Notice")
	s.Body = missingView{Front: root + frontPage, Search: root + searchPage}
	return nil
}
