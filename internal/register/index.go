package register

import (
	"bytes"
	"encoding/json"
	"strings"
)

// indexData is the index as the script reads it; themes/workshop/search.js is its only reader. Every text stands once
// and is named by its number.
type indexData struct {
	Sheets []indexSheet `json:"sheets"`
	Texts  []string     `json:"texts"`
	Places []indexPlace `json:"places"`
	Words  [][]string   `json:"words"` // a word and the other forms in which it is said
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

// Index is a script that hands the places of the sheets, the words of the trade and groups of words that the search takes
// for each other to the search page.
func Index(sheets []Sheet, trade []Word, alike [][]string) ([]byte, error) {
	d := indexData{Texts: []string{}}
	number := map[string]int{}
	text := func(t string) int {
		n, ok := number[t]
		if !ok {
			n = len(d.Texts)
			number[t], d.Texts = n, append(d.Texts, t)
		}
		return n
	}
	numbers := func(all []string) []int {
		out := make([]int, 0, len(all))
		for _, t := range all {
			out = append(out, text(t))
		}
		return out
	}
	for i, s := range sheets {
		d.Sheets = append(d.Sheets, indexSheet{Path: strings.TrimSuffix(s.Path, "index.html"), Kind: s.Kind, Title: s.Title, Of: s.Of, Short: s.Short,
			Family: s.Family, Order: s.Order, Retired: s.Retired, Weight: s.Weight, First: s.First, Also: s.Also})
		for _, p := range s.Places {
			d.Places = append(d.Places, indexPlace{i, p.Anchor, text(p.Heading), text(p.Under), numbers(p.Heads), numbers(p.Texts)})
		}
	}
	for _, w := range trade {
		d.Words = append(d.Words, append([]string{w.Word}, w.Also...))
	}
	d.Words = append(d.Words, alike...)
	var b bytes.Buffer
	b.WriteString("self.voltwrightIndex = ")
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // it is a file of its own; what breaks a line in a script is escaped all the same
	if err := e.Encode(d); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
