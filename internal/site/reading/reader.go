// Package reading is what pages read: the journal, what was computed of it and what inspection found, with the files that go
// online beside the pages. A kind of page is declared in its terms.
package reading

import (
	"cmp"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/progress"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/words"
	"voltwright/internal/study"
	"voltwright/internal/value"
)

// NoteLink is the link to a note, a question or a correction, by its path on the site.
func NoteLink(n *journal.NotePage) frame.Link {
	return frame.Link{Words: n.Title.Text, Href: journal.Place{Page: n}.Address() + "index.html"}
}

// HasAcross tells whether a vehicle has versions enough to be set beside each other.
func HasAcross(v *journal.Vehicle) bool { return len(v.Versions) > 1 }

// PlaceLink leads to the page of a place.
func (rd *Reader) PlaceLink(s *frame.Sheet, p journal.Place) frame.Link {
	words := ""
	switch {
	case p.Page != nil:
		words = cmp.Or(p.Page.Title.Text, p.Page.Slug)
	case p.Run != nil:
		words = fmt.Sprintf("%s: %s", RunWords(p.Run), p.Run.Name.Text)
	case p.Version != nil:
		words = p.Vehicle.Name.Text + ", " + numeral.MidSentence(VersionWords(p.Version))
	case p.Vehicle != nil:
		words = p.Vehicle.Name.Text
	}
	return frame.Link{Words: words, Href: s.To(p.Address() + "index.html")}
}

// Address is the whole address of a page; its path on the site where the journal states none.
func (rd *Reader) Address(page string) string {
	folder := path.Dir(page) + "/"
	if folder == "./" {
		folder = ""
	}
	return rd.Journal.Addressed(folder)
}

// AnyParts tells whether any version of the journal has a parts list.
func (rd *Reader) AnyParts() bool {
	return slices.ContainsFunc(rd.Journal.Vehicles, func(v *journal.Vehicle) bool {
		return slices.ContainsFunc(v.Versions, func(v *journal.Version) bool { return len(v.Parts) > 0 })
	})
}

// Reference fills the title block of a page that is made by the program, not from a note.
func (rd *Reader) Reference(s *frame.Sheet, kind string) {
	s.Block.Type, s.Block.Issued = kind, frame.DayOf(rd.NewestOfAll())
	s.Block.Revision, s.Block.Inspection = cmp.Or(rd.Version, "as issued"), "no findings"
}

// Input is all that a site is made from.
type Input struct {
	Journal  *journal.Journal
	Results  *study.Results
	Values   *value.Index      // of both; nil makes one
	Findings []finding.Finding // what inspection said, printed on the pages that it concerns; pages read it by FindingsOf
	Docs     []finding.Doc     // the rules and formulas of the method page, in printing order
	Open     func(path string) (io.ReadCloser, error)
	Themes   fs.FS           // the journal's own themes folder laid over themes.FS; nil for themes.FS alone
	Version  string          // of the program
	Steps    Steps           // what is kept of earlier times; nil keeps nothing
	Told     progress.Report // hears how far it is

	// KeepPages says that pages may come from what is kept of earlier times. The results and the values must be all that is computed of the
	// journal's folder as it stands, and nothing else.
	KeepPages bool
	Afresh    func() (*frame.Pages, error) // makes the site anew where a kept file is lost later; nil: as it is made here, without what is kept

	First []string                          // pages that somebody waits for: they are laid out before the others
	Laid  func(p *frame.Pages, page string) // is told of each of them while nothing else is laid out; nil: nobody
}

// Reader is a site on the way.
type Reader struct {
	Input
	Theme     *frame.Theme
	Raised    *finding.List
	Pages     *frame.Pages
	Plans     []Plan
	Language  string
	Pictures  map[string]Picture
	Attached  map[string]string // path of a linked file in the journal → its place on the site, "" where it has none
	PageOf    map[string]string // path of a note in the journal → its page
	Logs      []*journal.Run
	LogOf     map[string]string // path of a log or a table of parts in the journal → its place on the site, "" where it has none
	Sources   map[string]string // what each rule rests on
	Titles    map[string]string // what each rule is called
	Explained map[string]bool   // anchors of what the method page explains
	AllDocs   []finding.Doc
	FiguresOf map[journal.RunID][]runlog.Figure

	findings []finding.Finding
	found    map[string][]finding.Finding // the same by file
	keeper   *pageKeeper                  // nil: pages are not kept
}

// New begins a site; docs are what the laying out itself explains.
func New(in Input, docs []finding.Doc) *Reader {
	if in.Values == nil {
		in.Values = value.New(in.Journal, in.Results)
	}
	rd := &Reader{Input: in, Raised: &finding.List{}, Pages: frame.NewPages(in.Open), Pictures: map[string]Picture{}, Attached: map[string]string{},
		PageOf: map[string]string{}, LogOf: map[string]string{}, Explained: map[string]bool{}, Sources: map[string]string{}, Titles: map[string]string{}, FiguresOf: map[journal.RunID][]runlog.Figure{},
		Language: cmp.Or(in.Journal.Language.Text, "en")}
	rd.findings, rd.found, rd.Findings = in.Findings, map[string][]finding.Finding{}, nil
	for _, f := range rd.findings {
		rd.found[f.Span.File()] = append(rd.found[f.Span.File()], f)
	}
	rd.Theme = frame.NewTheme(string(in.Journal.Theme.Value), in.Themes, rd.Raised)
	rd.Theme.Words = words.For(rd.Language)
	rd.Theme.Words.Call(called(rd.Journal)...)
	known := func(d finding.Doc) bool {
		return slices.ContainsFunc(in.Docs, func(h finding.Doc) bool { return h.Kind == d.Kind && h.Name == d.Name })
	}
	rd.AllDocs = append(slices.Clone(in.Docs), slices.DeleteFunc(slices.Clone(docs), known)...)
	for _, d := range rd.AllDocs {
		rd.Explained[address.EntryAnchor(d.Kind, d.Name)] = true
		if d.Kind == finding.RuleDoc {
			rd.Sources[d.Name], rd.Titles[d.Name] = d.Source, d.Title
		}
	}
	for _, v := range in.Journal.Vehicles {
		for _, version := range v.Versions {
			if version.PartsSource != "" {
				rd.LogOf[version.PartsSource] = address.VersionParts(version)
			}
			for _, r := range version.Runs {
				if r.Log != nil && r.Log.Path != "" {
					rd.Logs = append(rd.Logs, r)
				}
			}
		}
	}
	return rd
}

// Plan lists the pages of kinds in reading order and makes the logs ready; then pages can be laid out.
func (rd *Reader) Plan(kinds []Kind) {
	planned := map[string]bool{}
	keep := rd.KeepPages && rd.Steps != nil && rd.Journal.Folder != nil
	if keep {
		rd.Journal.Folder.Hear(func(path string) { planned[readText+path] = true })
	}
	rd.PlanAll(kinds)
	rd.PublishLogs()
	if keep {
		rd.Journal.Folder.Hear(nil)
		rd.keepPages(planned)
	}
}

// logName is what a log is called beside its run's page: its own name, unless one of the files that are made there
// has it, on any file system.
func logName(name string) string {
	low := strings.ToLower(name)
	channel, isTable := strings.CutSuffix(low, ".csv")
	_, isChannel := runlog.ParseChannel(channel)
	if low == path.Base(address.Front) || low == address.ResultsFile || low == address.CitationFile || isTable && (isChannel || channel == address.ReboundPlot || channel == address.PredictionPlot) {
		return "log-" + name
	}
	return name
}

// VersionWords names a version: "Version 2: Bigger pack".
func VersionWords(v *journal.Version) string {
	return fmt.Sprintf("Version %d: %s", v.Number, v.Name.Text)
}

// RunWords names a run briefly: "Bench run, 12 April 2026".
func RunWords(r *journal.Run) string {
	text := RunKind(r.Type.Value)
	if d := frame.DayOf(r.Date); d != nil {
		text += ", " + d.Long
	}
	return text
}

// RunKind is what a type of run is called on a page.
func RunKind(t journal.RunType) string {
	switch t {
	case journal.Bench:
		return "Bench run"
	case journal.Field:
		return "Field run"
	case journal.Charge:
		return "Charge"
	case journal.Rest:
		return "Rest"
	}
	return "Run"
}

// MethodLink leads to the entry of a rule or formula, "" where the method page has none.
func (rd *Reader) MethodLink(s *frame.Sheet, kind finding.Kind, name string) string {
	anchor := address.EntryAnchor(kind, name)
	if !rd.Explained[anchor] {
		return ""
	}
	return s.To(address.MethodPages[kind] + "#" + anchor)
}

// Formula documents a formula that a page computes by.
func Formula(name, title, what, relation, units, holds, source string) finding.Doc {
	return finding.Doc{Kind: finding.FormulaDoc, Name: name, Title: title, What: what, Formula: relation, Units: units, Range: holds, Source: source}
}

// TitleOf is the title of the page of a place.
func (rd *Reader) TitleOf(p journal.Place) string {
	switch {
	case p.Page != nil:
		return p.Page.Title.Text
	case p.Run != nil:
		return p.Run.Name.Text
	case p.Version != nil:
		return VersionWords(p.Version)
	case p.Vehicle != nil:
		return p.Vehicle.Name.Text
	}
	return rd.Journal.Title.Text
}

// VersionNumber is a version's number as text.
func VersionNumber(v *journal.Version) string { return strconv.Itoa(v.Number) }

// called are the names that the maker gave: of vehicles, versions, packs and parts.
func called(j *journal.Journal) []string {
	out := []string{j.Title.Text, j.Maker.Name.Text, j.Maker.Place.Text}
	for _, v := range j.Vehicles {
		out = append(out, v.Name.Text)
		for _, version := range v.Versions {
			out = append(out, version.Name.Text)
			for i := range version.Packs {
				out = append(out, version.Packs[i].Name.Text)
			}
			if c, ok := version.Circuit(); ok {
				for _, p := range c.Parts {
					out = append(out, p.Name)
				}
			}
		}
	}
	return out
}
