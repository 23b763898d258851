package site

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/outgoing"
)

// partsIndexPage is the page of all parts, and where each is used.
const partsIndexPage = "parts/index.html"

// partsIndex is the view of the page of all parts.
type partsIndex struct {
	caption
	Parts      []usedPart
	Disclosure string
	File       fileLink
}

type usedPart struct {
	Anchor string
	Name   string
	Uses   []partUse
}

// partUse is a part in one version.
type partUse struct {
	Vehicle string
	Version link
	State   string
	Rating  string
	Source  string
	Link    string
	Pays    bool
	Pieces  int
	Price   numeral
}

// partsIndex lists every part of the journal by its name, and every version that has it, the latest first.
func (b *builder) partsIndex(s *sheet) error {
	view := partsIndex{caption: s.table("all-parts", "Every part of every version, by name.")}
	at := map[string]int{}
	rows := [][]string{append([]string{"vehicle", "version", "state", "sum", "sum-currency"}, journal.PartKeys()...)}
	for _, vehicle := range b.in.Journal.Vehicles {
		for _, v := range slices.Backward(vehicle.Versions) {
			for i := range v.Parts {
				p := &v.Parts[i]
				key := journal.PartKey(p.Name.Text)
				k, ok := at[key]
				if !ok {
					k = len(view.Parts)
					at[key] = k
					view.Parts = append(view.Parts, usedPart{Name: p.Name.Text})
				}
				use := partUse{Vehicle: vehicle.Name.Text, Version: link{Words: versionWords(v), Href: s.to(versionPage(v)) + "#parts"}, State: string(v.State.Value), Rating: p.Rating.Text,
					Source: p.Source.Text, Link: p.Link.Text, Pays: p.PaysMaker.Value && p.Link.Set, Pieces: p.Pieces()}
				if how := howWords[p.How.Value]; how != "" {
					use.State = strings.TrimPrefix(use.State+", "+how, ", ")
				}
				sum, currency := "", ""
				if each, ok := p.Each(); ok {
					currency = b.in.Journal.Paid(p)
					use.Price, sum = amount(money(each, currency), quoted, ""), money(lineSum(p, each), "")
				}
				if use.Pays {
					view.Disclosure = paysWords
				}
				view.Parts[k].Uses = append(view.Parts[k].Uses, use)
				rows = append(rows, append([]string{vehicle.Slug, v.Slug, string(v.State.Value), sum, currency}, partCells(p)...))
			}
		}
	}
	slices.SortStableFunc(view.Parts, func(a, b usedPart) int { return cmp.Compare(journal.PartKey(a.Name), journal.PartKey(b.Name)) })
	for i := range view.Parts {
		view.Parts[i].Anchor = s.anchor("part-" + notes.Slug(view.Parts[i].Name))
	}
	var out bytes.Buffer
	if err := outgoing.WriteCSV(&out, rows); err != nil {
		return err
	}
	view.File = fileLink{journal.PartsFile, s.to(partsIndexFile()), "every line of every list, with the vehicle and the version"}
	b.reference(s, "Parts")
	s.Marks, s.Body = true, view
	return b.pages.put(partsIndexFile(), out.Bytes())
}
