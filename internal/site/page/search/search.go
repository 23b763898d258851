package search

import (
	"fmt"
	"path"

	"voltwright/internal/journal"
	"voltwright/internal/register"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// searchView is the view of the search page: the register, which it is without a script.
type searchView struct {
	Index   string // the script with the index, seen from the page
	Letters []register.Letter
	Leaves  []frame.Leaf // one for each letter
	Sheets  int
}

// lay fills the search page from the pages as they stand, so it is planned after all that can be found.
func lay(rd *reading.Reader, s *frame.Sheet) error {
	entries, err := rd.Theme.Glossary()
	if err != nil {
		return err
	}
	var trade []register.Word
	for _, e := range entries {
		trade = append(trade, register.Word{Word: e.Word, Also: e.Also, Anchor: e.Anchor})
	}
	of := belonging(rd)
	var sheets []register.Sheet
	for _, p := range rd.Plans {
		if !rd.Pages.Has(p.Sheet.Path) {
			continue
		}
		sheet := register.Sheet{Path: p.Sheet.Path, Kind: p.Kind.Words, Weight: p.Kind.Weight, First: p.Kind.First}
		of(&sheet, p.Kind)
		if err := read(rd, &sheet); err != nil {
			return err
		}
		sheets = append(sheets, sheet)
	}
	alike, err := rd.Theme.Alike(rd.Language)
	if err != nil {
		return err
	}
	index, parts, err := register.Index(sheets, trade, alike)
	if err != nil {
		return err
	}
	if err := rd.Pages.Put(address.SearchIndex, index); err != nil {
		return err
	}
	for i, part := range parts {
		if err := rd.Pages.Put(address.SearchPart(i), part); err != nil {
			return err
		}
	}
	view := searchView{Index: path.Base(address.SearchIndex), Letters: register.Alphabet(sheets, trade, address.Glossary, rd.Language), Sheets: len(sheets)}
	for i, l := range view.Letters {
		view.Leaves = append(view.Leaves, frame.NewLeaf(l.Anchor, "", l.Letter, numeral.Say(fmt.Sprintf("%d in the register", len(l.Entries)))))
		for k := range l.Entries {
			e := &view.Letters[i].Entries[k]
			if e.At != "" {
				e.At = s.To(e.At)
			}
			for n := range e.Stands {
				e.Stands[n].At = s.To(e.Stands[n].At)
			}
		}
	}
	rd.Reference(s, "Register")
	s.Searches, s.Body = true, view
	return nil
}

// read takes what a sheet says from its page, or what was read before of the same page.
func read(rd *reading.Reader, sheet *register.Sheet) error {
	sum, _ := rd.Pages.Sum(sheet.Path) // which is known of every page
	var said register.Sheet
	err := rd.Keep("what a page says", &said, func() error {
		page, err := rd.Pages.Bytes(sheet.Path)
		if err != nil {
			return err
		}
		return said.Read(page)
	}, sum)
	sheet.Title, sheet.Also, sheet.Places = said.Title, said.Also, said.Places
	if err != nil {
		return fmt.Errorf("%s: %w", sheet.Path, err)
	}
	return nil
}

// belonging tells of the sheets of vehicles which version and run they are of. Versions of a vehicle are one family, so
// are their wiring, their bench sheets and their runs.
func belonging(rd *reading.Reader) func(s *register.Sheet, kind *reading.Kind) {
	versions, runs := map[string]*journal.Version{}, map[string]*journal.Run{}
	for _, vehicle := range rd.Journal.Vehicles {
		for _, v := range vehicle.Versions {
			versions[address.Version(v)], versions[address.Standing(v)], versions[address.Wiring(v)], versions[address.BenchSheet(v)], versions[address.FirstPower(v)] = v, v, v, v, v
			for _, r := range v.Runs {
				versions[address.Run(r)], runs[address.Run(r)] = v, r
			}
		}
	}
	order := map[string]int{}
	return func(s *register.Sheet, kind *reading.Kind) {
		v := versions[s.Path]
		if v == nil {
			return
		}
		s.Short = fmt.Sprintf("%s, version %d", v.Vehicle.Name.Text, v.Number)
		s.Of = s.Short
		switch r := runs[s.Path]; {
		case r != nil:
			s.Kind, s.Short = reading.RunWords(r), fmt.Sprintf("%s (%s)", s.Short, reading.RunWords(r))
		case s.Path != address.Version(v):
			s.Short = fmt.Sprintf("%s (%s)", s.Short, kind.Words)
		}
		s.Family = v.Vehicle.Slug + "/" + kind.Name
		order[s.Family]++ // pages are planned in the order of versions and runs
		s.Order = order[s.Family]
		if s.Retired = v.State.Value == journal.Retired; s.Retired {
			s.Of += ", retired"
		}
	}
}
