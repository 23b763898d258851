package partsindex

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/outgoing"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/reading"
)

// partsIndex is the view of the page of all parts.
type partsIndex struct {
	frame.Caption
	Parts      []usedPart
	Disclosure string
	File       frame.FileLink
}

type usedPart struct {
	Anchor string
	Name   string
	Uses   []partUse
}

// partUse is a part in one version.
type partUse struct {
	Vehicle string
	Version frame.Link
	State   string
	Rating  string
	Source  string
	Link    string
	Pays    bool
	Pieces  int
	Price   numeral.Numeral
}

// lay lists every part of the journal by its name, and every version that has it, the latest first.
func lay(rd *reading.Reader, s *frame.Sheet) error {
	view := partsIndex{Caption: s.Table("all-parts", "Every part of every version, by name.")}
	at := map[string]int{}
	rows := [][]string{append([]string{"vehicle", "version", "state", "sum", "sum-currency"}, journal.PartKeys()...)}
	for _, vehicle := range rd.Journal.Vehicles {
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
				use := partUse{Vehicle: vehicle.Name.Text, Version: frame.Link{Words: reading.VersionWords(v), Href: s.To(address.Version(v)) + "#parts"}, State: string(v.State.Value), Rating: p.Rating.Text,
					Source: p.Source.Text, Link: p.Link.Text, Pays: p.PaysMaker.Value && p.Link.Set, Pieces: p.Pieces()}
				if how := partslist.HowWords[p.How.Value]; how != "" {
					use.State = strings.TrimPrefix(use.State+", "+how, ", ")
				}
				sum, currency := "", ""
				if each, ok := p.Each(); ok {
					currency = rd.Journal.Paid(p)
					use.Price, sum = numeral.Amount(numeral.Money(each, currency), numeral.Quoted, ""), numeral.Money(partslist.LineSum(p, each), "")
				}
				if use.Pays {
					view.Disclosure = partslist.PaysWords
				}
				view.Parts[k].Uses = append(view.Parts[k].Uses, use)
				rows = append(rows, append([]string{vehicle.Slug, v.Slug, string(v.State.Value), sum, currency}, partslist.PartCells(p)...))
			}
		}
	}
	slices.SortStableFunc(view.Parts, func(a, b usedPart) int { return cmp.Compare(journal.PartKey(a.Name), journal.PartKey(b.Name)) })
	for i := range view.Parts {
		view.Parts[i].Anchor = s.Anchor("part-" + notes.Slug(view.Parts[i].Name))
	}
	var out bytes.Buffer
	if err := outgoing.WriteCSV(&out, rows); err != nil {
		return err
	}
	view.File = frame.FileLink{Words: journal.PartsFile, Href: s.To(address.PartsTable()), What: "every line of every list, with the vehicle and the version"}
	rd.Reference(s, "Parts")
	s.Marks, s.Body = true, view
	return rd.Pages.Put(address.PartsTable(), out.Bytes())
}
