package frame

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"voltwright/internal/notes"
	"voltwright/themes"
)

// Word is a word of the trade, its other forms and what it means.
type Word struct {
	Word    string   `json:"word"`
	Also    []string `json:"also"` // other forms in which it is said
	Meaning string   `json:"meaning"`
	Anchor  string   `json:"-"`
}

// glossaryFile is the one place of the trade's words and what they mean.
const glossaryFile = ThemeName + "/glossary.json"

// Glossary reads the words of the trade, in the order of the alphabet. A list of the program's own that does not parse is an error, one of the journal's theme a finding.
func (t *Theme) Glossary() ([]Word, error) {
	text, err := fs.ReadFile(t.layered, glossaryFile)
	if err != nil {
		return nil, err
	}
	var words []Word
	if err := json.Unmarshal(text, &words); err != nil && t.replaced(glossaryFile) {
		t.words(text, err)
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
	slices.SortStableFunc(words, func(a, b Word) int {
		return cmp.Compare(strings.ToLower(a.Word), strings.ToLower(b.Word))
	})
	anchors := &Sheet{}
	for i := range words {
		words[i].Anchor = anchors.Anchor("w-" + notes.Slug(words[i].Word))
	}
	return words, nil
}
