package site

import (
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"net/url"
	"path"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/progress"
	"voltwright/internal/runlog"
	"voltwright/internal/study"
	"voltwright/internal/value"
)

// Input is all that a site is made from.
type Input struct {
	Journal  *journal.Journal
	Results  *study.Results
	Values   *value.Index      // of both; nil makes one
	Findings []finding.Finding // what inspection said, printed on the pages that it concerns
	Docs     []finding.Doc     // the rules and formulas of the method page, in printing order
	Open     func(path string) (io.ReadCloser, error)
	Themes   fs.FS           // the journal's own themes folder laid over themes.FS; nil for themes.FS alone
	Version  string          // of the program
	Steps    Steps           // what is kept of earlier times; nil keeps nothing
	Told     progress.Report // hears how far it is
}

// Paths of the pages that every site has.
const (
	frontPage    = "index.html"
	methodPage   = "method/index.html"       // the formulas
	rulesPage    = "method/rules/index.html" // the rules of inspection
	glossaryPage = "glossary/index.html"
	missingPage  = "404.html"

	publishedPage = "published/index.html"
)

// Explaining are the pages that explain the others, for who takes some of the pages elsewhere; SharedFolder holds the
// styles, scripts and lettering that all of them ask for.
var Explaining = []string{methodPage, rulesPage, glossaryPage, publishedPage}

// SharedFolder is the folder of the files that all pages share.
const SharedFolder = assetFolder

// Build lays the journal out. The findings are about what only the site can tell: pictures that cannot be shown,
// templates of the journal's own that do not work. The error says that no site can be made at all.
func Build(in Input) (*Pages, []finding.Finding, error) {
	if in.Values == nil {
		in.Values = value.New(in.Journal, in.Results)
	}
	b := &builder{in: in, findings: &finding.List{}, pages: newPages(in.Open), pictures: map[string]picture{}, attached: map[string]string{},
		pageOf: map[string]string{}, logOf: map[string]string{}, docs: map[string]bool{}, sources: map[string]string{}, figuresOf: map[journal.RunID][]runlog.Figure{},
		language: or(in.Journal.Language.Text, "en")}
	b.theme = newTheme(in.Themes, b.findings)
	b.allDocs = append(slices.Clone(in.Docs), missing(in.Docs, Docs())...)
	for _, d := range b.allDocs {
		b.docs[entryAnchor(d.Kind, d.Name)] = true
		if d.Kind == finding.RuleDoc {
			b.sources[d.Name] = d.Source
		}
	}
	b.plan()
	b.publishLogs()
	b.tellPositions()
	done := in.Told.Begin(progress.LayingOut, int64(len(b.plans)))
	for i, p := range b.plans {
		s := p.sheet
		s.Block.Sheet, s.Block.Sheets = i+1, len(b.plans)
		if err := b.finish(p); err != nil {
			return nil, nil, err
		}
		done(1)
	}
	if err := b.securityText(); err != nil {
		return nil, nil, err
	}
	if err := b.feed(); err != nil {
		return nil, nil, err
	}
	if err := b.theme.assets(b.pages); err != nil {
		return nil, nil, err
	}
	return b.pages, b.findings.Sorted(), nil
}

// builder is a site on the way.
type builder struct {
	in        Input
	theme     *theme
	findings  *finding.List
	pages     *Pages
	plans     []plan
	language  string
	pictures  map[string]picture
	attached  map[string]string // path of a linked file in the journal → its place on the site, "" where it has none
	pageOf    map[string]string // path of a note in the journal → its page
	logs      []*journal.Run
	logOf     map[string]string // path of a log or a table of parts in the journal → its place on the site, "" where it has none
	sources   map[string]string // what each rule rests on
	docs      map[string]bool   // anchors of what the method page explains
	allDocs   []finding.Doc
	figuresOf map[journal.RunID][]runlog.Figure
}

// plan is one page to be made: its kind, which is also its template, and what fills its view.
type plan struct {
	kind  string
	sheet *sheet
	fill  func(s *sheet) error
}

// plan lists the pages in reading order.
func (b *builder) plan() {
	j := b.in.Journal
	b.add("front", frontPage, j.Note, j.Title.Text, nil, func(s *sheet) error { return b.front(s) })
	for i, v := range j.Vehicles {
		trail := []link{{Words: v.Name.Text, Href: vehiclePage(v)}}
		s := b.add("vehicle", vehiclePage(v), v.Note, v.Name.Text, trail, func(s *sheet) error { return b.vehicle(s, v) })
		if i > 0 {
			s.Before = &link{Words: j.Vehicles[i-1].Name.Text, Href: s.to(vehiclePage(j.Vehicles[i-1])), Note: "Vehicle before"}
		}
		if i+1 < len(j.Vehicles) {
			s.After = &link{Words: j.Vehicles[i+1].Name.Text, Href: s.to(vehiclePage(j.Vehicles[i+1])), Note: "Next vehicle"}
		}
		b.planVersions(v, trail)
		if at := acrossPage(v); hasAcross(v) {
			b.add("across", at, nil, v.Name.Text+": versions side by side", append(slices.Clone(trail), link{Words: "Side by side", Href: at}), func(s *sheet) error { return b.across(s, v) })
		}
	}
	b.planNotes()
	if b.anyParts() {
		b.add("part-index", partsIndexPage, nil, "Parts", []link{{Words: "Parts", Href: partsIndexPage}}, func(s *sheet) error { return b.partsIndex(s) })
	}
	trail := []link{{Words: "Method", Href: methodPage}}
	b.add("method", methodPage, nil, "Method", trail, func(s *sheet) error { return b.method(s, finding.FormulaDoc) })
	b.add("method", rulesPage, nil, "Rules", append(trail, link{Words: "Rules", Href: rulesPage}), func(s *sheet) error { return b.method(s, finding.RuleDoc) })
	b.add("glossary", glossaryPage, nil, "Words of the trade", []link{{Words: "Words", Href: glossaryPage}}, func(s *sheet) error { return b.glossary(s) })
	b.add("published", publishedPage, nil, "What is published", []link{{Words: "What is published", Href: publishedPage}}, func(s *sheet) error { return b.published(s) })
	b.add("search", searchPage, nil, "Search and register", []link{{Words: "Search", Href: searchPage}}, func(s *sheet) error { return b.search(s) })
	b.add("missing", missingPage, nil, "No such sheet", []link{{Words: "No such sheet", Href: missingPage}}, func(s *sheet) error { return b.missing(s) })
}

func (b *builder) planVersions(v *journal.Vehicle, trail []link) {
	type place struct{ words, href string }
	var runs []*sheet
	var places []place
	for i, version := range v.Versions {
		at := versionPage(version)
		trail := append(slices.Clone(trail), link{Words: fmt.Sprintf("Version %d", version.Number), Href: at})
		s := b.add("version", at, version.Note, version.Name.Text, trail, func(s *sheet) error { return b.version(s, version) })
		if i > 0 {
			before := v.Versions[i-1]
			s.Before = &link{Words: versionWords(before), Href: s.to(versionPage(before)), Note: "Version before"}
		}
		if i+1 < len(v.Versions) {
			after := v.Versions[i+1]
			s.After = &link{Words: versionWords(after), Href: s.to(versionPage(after)), Note: "Next version"}
		}
		if version.PartsSource != "" {
			b.logOf[version.PartsSource] = partsPath(version)
		}
		if w := b.wired(version); w != nil && len(w.Solutions) > 0 {
			at := wiringPage(version)
			b.add("wiring-page", at, nil, "Wiring: "+version.Name.Text, append(slices.Clone(trail), link{Words: "Wiring", Href: at}), func(s *sheet) error { return b.wiringInFull(s, version) })
		}
		if w := b.wired(version); w != nil && len(w.Whips) > 0 {
			at := benchSheetPage(version)
			b.add("bench-sheet", at, nil, "Bench sheet: "+version.Name.Text, append(slices.Clone(trail), link{Words: "Bench sheet", Href: at}), func(s *sheet) error { return b.benchSheet(s, version) })
		}
		for _, run := range version.Runs {
			at := runPage(run)
			trail := append(slices.Clone(trail), link{Words: runWords(run), Href: at})
			runs = append(runs, b.add("run", at, run.Note, run.Name.Text, trail, func(s *sheet) error { return b.run(s, run) }))
			places = append(places, place{fmt.Sprintf("%s, version %d", runWords(run), version.Number), at})
			if run.Log != nil && run.Log.Path != "" {
				b.logs = append(b.logs, run)
			}
		}
	}
	for i, s := range runs {
		if i > 0 {
			s.Before = &link{Words: places[i-1].words, Href: s.to(places[i-1].href), Note: "Run before"}
		}
		if i+1 < len(runs) {
			s.After = &link{Words: places[i+1].words, Href: s.to(places[i+1].href), Note: "Next run"}
		}
	}
}

// add plans a page that is made from a note, or from none.
func (b *builder) add(kind, at string, n *notes.Note, title string, trail []link, fill func(*sheet) error) *sheet {
	s := &sheet{path: at, Title: or(title, path.Dir(at))}
	if n != nil {
		s.note = n.Path
		b.pageOf[n.Path] = at
	}
	s.Trail = []link{{Words: or(b.in.Journal.Title.Text, "Journal"), Href: s.to(frontPage)}}
	for i, l := range trail {
		l.Href = s.to(l.Href)
		if i == len(trail)-1 {
			l.Href = ""
		}
		s.Trail = append(s.Trail, l)
	}
	if at == frontPage {
		s.Trail[0].Href = ""
	}
	b.plans = append(b.plans, plan{kind, s, fill})
	return s
}

// finish fills a page's view and makes the page.
func (b *builder) finish(p plan) error {
	s, j := p.sheet, b.in.Journal
	s.Lang, s.Journal, s.Notice = b.language, j.Title.Text, j.Notice.Text
	s.Root = strings.TrimSuffix(s.to(sheetStyle), sheetStyle)
	s.Shelf = []link{{Words: "Method", Href: s.to(methodPage)}, {Words: "Words", Href: s.to(glossaryPage)}, {Words: "Search", Href: s.to(searchPage)}}
	if b.anyParts() {
		s.Shelf = append([]link{{Words: "Parts", Href: s.to(partsIndexPage)}}, s.Shelf...)
	}
	s.Shelf = append(b.lists(s), s.Shelf...)
	s.Block.Owner, s.Block.Creator = j.Maker.Name.Text, j.Maker.Place.Text
	s.Block.Title, s.Block.Language, s.Block.Licence = s.Title, b.language, j.Licence.Text
	s.Block.Identification = or(strings.TrimSuffix(path.Dir(s.path), "."), "journal")
	if s.path == missingPage {
		s.Block.Identification = "404"
	}
	if err := b.lines(s); err != nil {
		return fmt.Errorf("%s: %w", s.path, err)
	}
	if err := p.fill(s); err != nil {
		return fmt.Errorf("%s: %w", s.path, err)
	}
	s.Corrected, s.Feed = b.corrected(s), j.Address.Set && b.newestOfAll().Set
	page, err := b.theme.render(p.kind, s)
	if err != nil {
		return fmt.Errorf("%s: %w", s.path, err)
	}
	return b.pages.put(s.path, page)
}

// logName is what a log is called beside its run's page: its own name, unless one of the files that are made there
// has it, on any file system.
func logName(name string) string {
	low := strings.ToLower(name)
	channel, isTable := strings.CutSuffix(low, ".csv")
	_, isChannel := runlog.ParseChannel(channel)
	if low == path.Base(frontPage) || low == resultsFile || low == citationFile || isTable && (isChannel || channel == reboundPlot || channel == predictionPlot) {
		return "log-" + name
	}
	return name
}

// missing gives the documents of more that are not in have.
func missing(have, more []finding.Doc) []finding.Doc {
	return slices.DeleteFunc(slices.Clone(more), func(d finding.Doc) bool {
		return slices.ContainsFunc(have, func(h finding.Doc) bool { return h.Kind == d.Kind && h.Name == d.Name })
	})
}

func vehiclePage(v *journal.Vehicle) string { return v.Slug + "/index.html" }
func versionPage(v *journal.Version) string { return v.Path() + "/index.html" }
func runPage(r *journal.Run) string         { return string(r.ID()) + "/index.html" }
func stem(file string) string               { return strings.TrimSuffix(path.Base(file), path.Ext(file)) }
func or(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

func versionWords(v *journal.Version) string {
	return fmt.Sprintf("Version %d: %s", v.Number, v.Name.Text)
}

// runWords names a run briefly: "Bench run, 12 April 2026".
func runWords(r *journal.Run) string {
	text := runKind(r.Type.Value)
	if d := dayOf(r.Date); d != nil {
		text += ", " + d.Long
	}
	return text
}

// runKind is what a type of run is called on a page.
func runKind(t journal.RunType) string {
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

func escapePath(p string) string { return (&url.URL{Path: p}).EscapedPath() }

// methodLink leads to the entry of a rule or formula, "" where the method page has none.
func (b *builder) methodLink(s *sheet, kind finding.Kind, name string) string {
	anchor := entryAnchor(kind, name)
	if !b.docs[anchor] {
		return ""
	}
	return s.to(methodPages[kind] + "#" + anchor)
}

// entryAnchor names an entry of the method page. A rule and the formula that it judges by may have one name.
func entryAnchor(kind finding.Kind, name string) string { return string(kind) + "-" + name }

// RuleAddress is the page and the anchor that explain a rule.
func RuleAddress(name string) string { return rulesPage + "#" + entryAnchor(finding.RuleDoc, name) }

func plainHTML(text string) template.HTML { return template.HTML(template.HTMLEscapeString(text)) }
