package site

import (
	"fmt"
	"path"

	"voltwright/internal/journal"
	"voltwright/internal/register"
)

// The search page, and the index that it asks. The index stands beside the page and not among the shared files, so that
// it stays behind where some of the pages are taken elsewhere.
const (
	searchPage  = "search/index.html"
	searchIndex = "search/index.js"
)

// searchView is the view of the search page: the register, which it is without a script.
type searchView struct {
	Index   string // the script with the index, seen from the page
	Letters []register.Letter
	Sheets  int
}

// search fills the search page from the pages as they stand, so it is planned after all that can be found.
func (b *builder) search(s *sheet) error {
	entries, err := b.glossaryWords()
	if err != nil {
		return err
	}
	var trade []register.Word
	for _, e := range entries {
		trade = append(trade, register.Word{Word: e.Word, Also: e.Also, Anchor: e.Anchor})
	}
	of := b.belonging()
	var sheets []register.Sheet
	for _, p := range b.plans {
		if !b.pages.Has(p.sheet.path) {
			continue
		}
		page, err := b.pages.Bytes(p.sheet.path)
		if err != nil {
			return err
		}
		sheet := register.Sheet{Path: p.sheet.path, Kind: sheetKinds[p.kind].words, Weight: sheetKinds[p.kind].weight, First: p.kind == "question"}
		of(&sheet, p.kind)
		if err := sheet.Read(page); err != nil {
			return err
		}
		sheets = append(sheets, sheet)
	}
	index, err := register.Index(sheets, trade)
	if err != nil {
		return err
	}
	if err := b.pages.put(searchIndex, index); err != nil {
		return err
	}
	view := searchView{Index: path.Base(searchIndex), Letters: register.Alphabet(sheets, trade, glossaryPage, b.language), Sheets: len(sheets)}
	for i, l := range view.Letters {
		for k := range l.Entries {
			e := &view.Letters[i].Entries[k]
			if e.At != "" {
				e.At = s.to(e.At)
			}
			for n := range e.Stands {
				e.Stands[n].At = s.to(e.Stands[n].At)
			}
		}
	}
	b.reference(s, "Register")
	s.Searches, s.Body = true, view
	return nil
}

// sheetKinds is what a reader of results is told that a sheet is, and how much what is found on it weighs: what answers
// before what is looked up, and either before what only lists or repeats.
var sheetKinds = map[string]struct {
	words  string
	weight float64
}{
	"question": {"Question", 1.5}, "version": {"Version", 1.2}, "vehicle": {"Vehicle", 1.1}, "note": {"Note", 1.1}, "glossary": {"Words", 1.1},
	"run": {"Run", 1}, "correction": {"Correction", 1}, "part-index": {"Parts", 1}, "wiring-page": {"Wiring", 0.9}, "method": {"Method", 0.9},
	"across": {"Side by side", 0.8}, "bench-sheet": {"Bench sheet", 0.7}, "run-sheet": {"Run sheet", 0.6}, "published": {"Published", 0.5},
	"questions": {"List", 0.5}, "corrections": {"List", 0.5}, "front": {"Journal", 0.5},
}

// belonging tells of the sheets of vehicles which version and run they are of. Versions of a vehicle are one family, so
// are their wiring, their bench sheets and their runs.
func (b *builder) belonging() func(s *register.Sheet, kind string) {
	versions, runs := map[string]*journal.Version{}, map[string]*journal.Run{}
	for _, vehicle := range b.in.Journal.Vehicles {
		for _, v := range vehicle.Versions {
			versions[versionPage(v)], versions[wiringPage(v)], versions[benchSheetPage(v)] = v, v, v
			for _, r := range v.Runs {
				versions[runPage(r)], runs[runPage(r)] = v, r
			}
		}
	}
	order := map[string]int{}
	return func(s *register.Sheet, kind string) {
		v := versions[s.Path]
		if v == nil {
			return
		}
		s.Short = fmt.Sprintf("%s, version %d", v.Vehicle.Name.Text, v.Number)
		s.Of = s.Short
		switch r := runs[s.Path]; {
		case r != nil:
			s.Kind, s.Short = runWords(r), fmt.Sprintf("%s (%s)", s.Short, runWords(r))
		case kind != "version":
			s.Short = fmt.Sprintf("%s (%s)", s.Short, sheetKinds[kind].words)
		}
		s.Family = v.Vehicle.Slug + "/" + kind
		order[s.Family]++ // pages are planned in the order of versions and runs
		s.Order = order[s.Family]
		if s.Retired = v.State.Value == journal.Retired; s.Retired {
			s.Of += ", retired"
		}
	}
}
