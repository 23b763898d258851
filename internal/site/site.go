package site

import (
	"cmp"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"
	"sync"

	"voltwright/internal/finding"
	"voltwright/internal/progress"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/linked"
	"voltwright/internal/site/page/across"
	"voltwright/internal/site/page/benchsheet"
	"voltwright/internal/site/page/correction"
	"voltwright/internal/site/page/correctionlist"
	"voltwright/internal/site/page/firstpower"
	"voltwright/internal/site/page/front"
	"voltwright/internal/site/page/glossary"
	"voltwright/internal/site/page/method"
	"voltwright/internal/site/page/missing"
	"voltwright/internal/site/page/note"
	"voltwright/internal/site/page/partsindex"
	"voltwright/internal/site/page/published"
	"voltwright/internal/site/page/question"
	"voltwright/internal/site/page/questionlist"
	"voltwright/internal/site/page/run"
	"voltwright/internal/site/page/runsheet"
	"voltwright/internal/site/page/search"
	"voltwright/internal/site/page/standing"
	"voltwright/internal/site/page/subject"
	"voltwright/internal/site/page/vehicle"
	"voltwright/internal/site/page/version"
	"voltwright/internal/site/page/wiringinfull"
	"voltwright/internal/site/photos"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
	"voltwright/internal/whole"
)

// kinds are the kinds of page, in reading order; those of a vehicle stand together, and in them those of a version and of a run.
var kinds = []reading.Kind{
	front.Kind,
	vehicle.Kind,
	version.Kind, standing.Kind, wiringinfull.Kind, benchsheet.Kind, firstpower.Kind,
	run.Kind,
	across.Kind,
	note.Kind,
	questionlist.Kind, question.Kind, runsheet.Kind,
	correctionlist.Kind, correction.Kind,
	subject.Kind,
	partsindex.Kind,
	method.Kind, glossary.Kind, published.Kind,
	search.Kind,
	missing.Kind,
}

// Input is all that a site is made from.
type Input = reading.Input

// Pages is a site in memory.
type Pages = frame.Pages

// Outgoing is what becomes of one file when the site is written.
type Outgoing = frame.Outgoing

// Explaining are the pages that explain the others, for who takes some of the pages elsewhere.
var Explaining = []string{address.Method, address.Rules, address.Glossary, address.Published}

// What others know of a site by its names: the folder of the files that all pages share, and the list of what Write wrote.
const (
	SharedFolder = frame.SharedFolder
	MarkerFile   = frame.MarkerFile
)

// Rules of findings that others name.
const (
	RuleTemplate    = frame.RuleTemplate
	RuleTellingFile = frame.RuleTellingFile
	RuleActiveFile  = reading.RuleActiveFile
	RuleSealedFile  = reading.RuleSealedFile
)

// RuleAddress is the page and the anchor that explain a rule.
func RuleAddress(name string) string { return address.RuleAddress(name) }

// Write writes the site to the folder dir; see frame.Write.
func Write(dir string, p *Pages, known whole.Remembered, told progress.Report) (whole.Replaced, error) {
	return frame.Write(dir, p, known, told)
}

// Gone lists the versions whose pages would be gone from the site in dir; see frame.Gone.
func Gone(dir string, p *Pages) ([]string, error) { return frame.Gone(dir, p.Has) }

// Stands tells whether a site stands in the folder dir as Write left it; see frame.Stands.
func Stands(dir string, sums map[string]string, known whole.Remembered) (whole.Replaced, bool) {
	return frame.Stands(dir, sums, known)
}

// Build lays the journal out. The findings are about what only the site can tell: pictures that cannot be shown,
// templates of the journal's own that do not work. The error says that no site can be made at all.
func Build(in Input) (*Pages, []finding.Finding, error) {
	pages, found, err := buildOnce(in)
	if errors.Is(err, errKept) {
		in.KeepPages = false
		pages, found, err = buildOnce(in)
	}
	return pages, found, err
}

// errKept says that the site has to be made without what is kept.
var errKept = errors.New("what is kept of pages cannot be used")

func buildOnce(in Input) (*Pages, []finding.Finding, error) {
	rd := reading.New(in, Docs())
	rd.Pages.Afresh(sync.OnceValues(func() (*Pages, error) { return afresh(in) }))
	rd.Plan(kinds)
	rd.TellPositions()
	done := in.Told.Begin(progress.LayingOut, int64(len(rd.Plans)))
	waited, rest := waitedFor(rd)
	for n, i := range append(waited, rest...) {
		done(1)
		if err := finish(rd, i); err != nil {
			return nil, nil, fmt.Errorf("%s: %w", rd.Plans[i].Sheet.Path, err)
		}
		if n < len(waited) && in.Laid != nil {
			in.Laid(rd.Pages, rd.Plans[i].Sheet.Path)
		}
	}
	for _, rest := range []func(*reading.Reader) error{securityText, feeds, forCrawlers, func(rd *reading.Reader) error { return rd.Theme.Assets(rd.Pages) }} {
		if err := rest(rd); err != nil {
			return nil, nil, err
		}
	}
	if !rd.KeepMade() {
		return nil, nil, errKept
	}
	return rd.Pages, rd.Raised.Sorted(), nil
}

// afresh makes a site without what is kept of its pages, since some of that was lost.
func afresh(in Input) (*Pages, error) {
	if in.Afresh != nil {
		return in.Afresh()
	}
	in.KeepPages, in.First, in.Laid, in.Told = false, nil, nil, nil
	pages, _, err := buildOnce(in)
	return pages, err
}

// gathering are the kinds of page that tell of what is on the others, and so are made when those are, and the one that search
// is not to find.
var gathering = []string{method.Kind.Name, glossary.Kind.Name, published.Kind.Name, search.Kind.Name, missing.Kind.Name}

// waitedFor parts the pages, by their places among the plans, into those that somebody waits for and the rest.
func waitedFor(rd *reading.Reader) (waited, rest []int) {
	for i, p := range rd.Plans {
		if slices.Contains(rd.First, p.Sheet.Path) && !slices.Contains(gathering, p.Kind.Name) {
			waited = append(waited, i)
		} else {
			rest = append(rest, i)
		}
	}
	return waited, rest
}

// finish makes a page, or takes it from what is kept.
func finish(rd *reading.Reader, number int) error {
	p := rd.Plans[number]
	lay := func() error { return layOut(rd, number) }
	if p.Kind.Name == search.Kind.Name { // which reads the other pages
		return lay()
	}
	return rd.Kept(number, lay)
}

// layOut fills a page's view and makes the page.
func layOut(rd *reading.Reader, number int) error {
	p := rd.Plans[number]
	s := p.Sheet
	framed(rd, s)
	s.Block.Sheet, s.Block.Sheets = number+1, len(rd.Plans)
	if err := prose.Lines(rd, s); err != nil {
		return err
	}
	if err := photos.Lead(rd, s); err != nil {
		return err
	}
	if err := p.Fill(s); err != nil {
		return err
	}
	if err := photos.Gallery(rd, s); err != nil {
		return err
	}
	if err := forMachines(rd, s); err != nil {
		return err
	}
	s.Corrected, s.Feed = linked.Corrected(rd, s), rd.Journal.Address.Set && rd.NewestOfAll().Set
	page, err := rd.Theme.Render(p.Kind.Name, s)
	if err != nil {
		return err
	}
	s.LetGo()
	return rd.Pages.Put(s.Path, rd.Theme.Words.Page(page))
}

// framed fills what is the same on all pages.
func framed(rd *reading.Reader, s *frame.Sheet) {
	j := rd.Journal
	s.Lang, s.Journal, s.Notice = rd.Language, j.Title.Text, j.Notice.Text
	s.Root = strings.TrimSuffix(s.To(frame.SheetStyle), frame.SheetStyle)
	shelf := func(words, at string) { s.Shelf = append(s.Shelf, frame.Link{Words: words, Href: s.To(at)}) }
	if len(j.Questions) > 0 {
		shelf("Questions", address.Questions)
	}
	if len(j.Corrections) > 0 {
		shelf("Corrections", address.Corrections)
	}
	if len(j.Subjects()) > 0 {
		shelf("Subjects", address.Subjects)
	}
	if rd.AnyParts() {
		shelf("Parts", address.Parts)
	}
	shelf("Method", address.Method)
	shelf("Words", address.Glossary)
	shelf("Search", address.Search)
	s.Block.Owner, s.Block.Creator = j.Maker.Name.Text, j.Maker.Place.Text
	s.Block.Title, s.Block.Language, s.Block.Licence = s.Title, rd.Language, j.Licence.Text
	s.Block.Identification = cmp.Or(strings.TrimSuffix(path.Dir(s.Path), "."), "journal")
	if s.Path == address.Missing {
		s.Block.Identification = "404"
	}
}
