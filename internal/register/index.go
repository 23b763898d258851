package register

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// indexData is the index as the script reads it; themes/workshop/search.js is its only reader. Every text stands once
// and is named by its number; those of the parts follow, part by part.
type indexData struct {
	Sheets []indexSheet `json:"sheets"`
	Texts  []string     `json:"texts"`
	Places []indexPlace `json:"places"`
	Words  [][]string   `json:"words"` // a word and the other forms in which it is said
	Parts  int          `json:"parts,omitempty"`
}

type indexSheet struct {
	Path    string   `json:"p"` // without index.html at its end
	Kind    string   `json:"k"`
	Title   string   `json:"t"`
	Of      string   `json:"o,omitempty"`
	Short   string   `json:"s,omitempty"`
	Family  string   `json:"f,omitempty"`
	Order   int      `json:"n,omitempty"`
	Retired bool     `json:"r,omitempty"`
	Weight  float64  `json:"w,omitempty"`
	First   bool     `json:"q,omitempty"`
	Also    []string `json:"a,omitempty"`
}

// indexPlace is [sheet, anchor, heading, heading above, further headings, texts], all but the anchor by number.
type indexPlace [6]any

// partSize is how many bytes of texts a part has before another is begun. About a quarter of it is loaded, compressed.
const partSize = 200_000

// Index is a script that hands the sheets, their headings, the answers of questions and the opening of every sheet to the search
// page, with the words of the trade and groups of words that the search takes for each other; and the scripts with all other
// texts, which are loaded after it. What is asked is first answered by the one and then by all.
func Index(sheets []Sheet, trade []Word, alike [][]string) (first []byte, parts [][]byte, err error) {
	n := textList{number: map[string]int{}, texts: []string{}}
	for _, s := range sheets {
		for i, p := range s.Places {
			n.of(p.Heading)
			n.of(p.Under)
			n.all(p.Heads)
			if s.First || i == 0 {
				n.all(p.Texts[:min(1, len(p.Texts))])
			}
		}
	}
	core := len(n.texts)
	d := indexData{}
	for i, s := range sheets {
		d.Sheets = append(d.Sheets, indexSheet{Path: strings.TrimSuffix(s.Path, "index.html"), Kind: s.Kind, Title: s.Title, Of: s.Of, Short: s.Short,
			Family: s.Family, Order: s.Order, Retired: s.Retired, Weight: s.Weight, First: s.First, Also: s.Also})
		for _, p := range s.Places {
			d.Places = append(d.Places, indexPlace{i, p.Anchor, n.of(p.Heading), n.of(p.Under), n.all(p.Heads), n.all(p.Texts)})
		}
	}
	for _, w := range trade {
		d.Words = append(d.Words, append([]string{w.Word}, w.Also...))
	}
	d.Words, d.Texts = append(d.Words, alike...), n.texts[:core]
	for rest := n.texts[core:]; len(rest) > 0; {
		size, end := 0, 0
		for end < len(rest) && size < partSize {
			size += len(rest[end])
			end++
		}
		part, err := script(fmt.Sprintf("(self.voltwrightTexts ||= {})[%d] = ", len(parts)), rest[:end])
		if err != nil {
			return nil, nil, err
		}
		parts, rest = append(parts, part), rest[end:]
	}
	d.Parts = len(parts)
	first, err = script("self.voltwrightIndex = ", d)
	return first, parts, err
}

// textList are texts by their numbers, each once.
type textList struct {
	number map[string]int
	texts  []string
}

func (n *textList) of(t string) int {
	at, ok := n.number[t]
	if !ok {
		at = len(n.texts)
		n.number[t], n.texts = at, append(n.texts, t)
	}
	return at
}

func (n *textList) all(texts []string) []int {
	out := make([]int, 0, len(texts))
	for _, t := range texts {
		out = append(out, n.of(t))
	}
	return out
}

// script is a script that hands a value to the page.
func script(to string, value any) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString(to)
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // it is a file of its own; what breaks a line in a script is escaped all the same
	if err := e.Encode(value); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
