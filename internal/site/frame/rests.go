package frame

import (
	"slices"

	"voltwright/internal/journal"
	"voltwright/internal/site/numeral"
)

// rests is what the text of a page rests on beside runs and specs, which have pages of their own: what it compares, the
// facts that its note states, and the sources that it quotes.
type rests struct {
	Caption
	Compared []ComparedRow
	Facts    []FactRow
	Sources  []SourceRow
}

// ComparedRow is a comparison with both its values.
type ComparedRow struct {
	Anchor        string
	Words         string
	First, Second PairedValue
	By            string // "over", "less"
	Value         numeral.Numeral
}

// PairedValue is one of the two values of a comparison.
type PairedValue struct {
	Label string
	Place string
	Value numeral.Numeral
}

// FactRow is a fact that the page's note states.
type FactRow struct {
	Anchor, Name, From string
	Value              numeral.Numeral
}

// SourceRow is a source that is quoted.
type SourceRow struct {
	Anchor, Title, Author, Date, Address, Says string
	Quoted                                     []Link // where, on the method page
}

// Rest is what the text of the page rests on, begun where there was nothing yet.
func (s *Sheet) Rest() *rests {
	if s.Rests == nil {
		s.Rests = &rests{}
	}
	return s.Rests
}

// Source lists a source at the foot of the page, once, and gives its anchor.
func (s *Sheet) Source(source *journal.Source) string {
	anchor := "source-" + source.Key.Text
	r := s.Rest()
	if !slices.ContainsFunc(r.Sources, func(row SourceRow) bool { return row.Anchor == anchor }) {
		r.Sources = append(r.Sources, RowOf(source))
	}
	return anchor
}

// RowOf is a source as the foot of a page lists it.
func RowOf(source *journal.Source) SourceRow {
	return SourceRow{Anchor: "source-" + source.Key.Text, Title: source.Title.Text, Author: source.Author.Text, Date: source.Date.Text, Address: source.Address.Text, Says: source.Says.Text}
}
