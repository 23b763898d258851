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
const glossaryFile = usualTheme + "/glossary.json"

// alikeFile is the one place of the words that the search takes for each other, by language. What a word means is not told
// here: "dies" is no word for a cutout, but who asks when it dies wants to hear of the cutout.
const alikeFile = usualTheme + "/alike.json"

// Alike reads the words that the search takes for each other in a language; none are known of one that the table lacks. Of a
// journal's own table that does not parse the program's stands in.
func (t *Theme) Alike(language string) ([][]string, error) {
	text, err := fs.ReadFile(t.layered, alikeFile)
	if err != nil {
		return nil, err
	}
	var all map[string][][]string
	if err = json.Unmarshal(text, &all); err != nil && t.replaced(alikeFile) {
		if text, err = fs.ReadFile(themes.FS, alikeFile); err == nil {
			all = nil
			err = json.Unmarshal(text, &all)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", alikeFile, err)
	}
	base, _, _ := strings.Cut(strings.ToLower(language), "-")
	return all[base], nil
}

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
