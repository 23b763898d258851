package site

import (
	"fmt"
	"html/template"
	"slices"
	"strings"
	"time"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// sheet is the view of a whole page: what is the same on all of them, and Body, the view of its kind.
type sheet struct {
	Lang     string
	Title    string
	Heading  template.HTML // the title, with what is bound in it
	Summary  template.HTML // of the note that the page is made from
	Journal  string
	Root     string   // path from the page to the root of the site, "../../" or ""
	Tries    []string // of the page whose own address is not known: other paths to the root that may be right
	Trail    []link   // from the front page to this one
	Shelf    []link   // the sheets that explain the others
	Before   *link
	After    *link
	Notice   string
	Block    titleBlock
	Charts   bool // the page has charts
	Quotable bool // the page has a line to be copied
	Drawings bool // the page has drawings of wiring
	Reckons  bool // the page has fields for other numbers
	Searches bool // the page has the field and the register
	Marks    bool // the page has numbers of the three kinds
	Callouts []callout
	Unjudged []remark // what no rule of safety can judge for want of a value
	Remarks  []remark
	Rests    *rests // what the text compares, states and quotes; nil: nothing of these
	Body     any
	Linked   template.JS // linked data of the page, "" where it has none
	Feed     bool        // the journal has a feed

	Corrected []correctedLine // the corrections that concern the page

	path    string
	note    string // path of the note that the page is made from, "" where it is made from none
	figures int
	tables  int
	ids     map[string]bool
	charted int                // bytes of the page's charts
	shown   map[string]caption // plots and tables that the page shows outside its prose
}

// show notes that the page shows a plot or table of a run outside its prose.
func (s *sheet) show(scheme notes.Scheme, name string, r *journal.Run, c caption) {
	s.showOf(scheme, name, string(r.ID()), c)
}

// showOf is show for what belongs to the run, version or vehicle of a path.
func (s *sheet) showOf(scheme notes.Scheme, name, of string, c caption) {
	if s.shown == nil {
		s.shown = map[string]caption{}
	}
	s.shown[shownKey(scheme, name, of)] = c
}

// link is a link of a page. Without Href it is the page itself.
type link struct {
	Words, Href, Note string
}

// titleBlock holds the data fields of ISO 7200:2004 and what inspection said.
type titleBlock struct {
	Owner, Creator string
	Title, Type    string
	Identification string
	Revision       string
	Issued         *day
	Language       string
	Sheet, Sheets  int
	Licence        string
	Inspection     string
}

// day is a date as printed and as machines read it.
type day struct{ Long, ISO string }

// dayOf is nil for a date that is not written.
func dayOf(d notes.Date) *day {
	if !d.Set {
		return nil
	}
	return &day{Long: d.Time().Format("2 January 2006"), ISO: d.Time().Format(time.DateOnly)}
}

// newest is the latest of the dates, not Set if none is.
func newest(dates ...notes.Date) notes.Date {
	var latest notes.Date
	for _, d := range dates {
		if d.Set && (!latest.Set || d.Time().After(latest.Time())) {
			latest = d
		}
	}
	return latest
}

// caption is the number and the words of a figure or table; Anchor makes it quotable.
type caption struct {
	Anchor string
	Label  string // "Figure 2"
	Words  template.HTML
	Quoted string // Words as plain text
}

// figure numbers the next figure of the page. The anchor is the wish, or the wish with a number where it is taken.
func (s *sheet) figure(wish string) caption {
	s.figures++
	return caption{Anchor: s.anchor("fig-" + wish), Label: fmt.Sprintf("Figure %d", s.figures)}
}

// table numbers the next table of the page.
func (s *sheet) table(wish, words string) caption {
	s.tables++
	return caption{Anchor: s.anchor("table-" + wish), Label: fmt.Sprintf("Table %d", s.tables),
		Words: template.HTML(template.HTMLEscapeString(words)), Quoted: words}
}

func (s *sheet) anchor(wish string) string {
	if s.ids == nil {
		s.ids = map[string]bool{}
	}
	id := wish
	for n := 2; s.ids[id]; n++ {
		id = fmt.Sprintf("%s-%d", wish, n)
	}
	s.ids[id] = true
	return id
}

// to is the link from this page to another file of the site.
func (s *sheet) to(target string) string { return relative(s.path, target) }

// remark is any other finding of the page.
type remark struct {
	Level        string
	Text, Remedy template.HTML
	Rule, Href   string
	Place        string
}

// inspect puts the findings of the page's own files on it. With them come those of the files in also, whose callouts
// are shown and whose other findings are only counted.
func (b *builder) inspect(s *sheet, own, also []string) {
	b.pages.concern(s.path, own, also)
	counts := map[finding.Level]int{}
	for _, f := range b.in.Findings {
		mine := slices.Contains(own, f.Span.File())
		if !mine && !slices.Contains(also, f.Span.File()) {
			continue
		}
		counts[f.Level]++
		text, remedy := sentence(f.Text), sentence(f.Remedy)
		if b.isLog(f.Span.File()) {
			text, remedy = publicQuotes(text), publicQuotes(remedy)
		}
		href := b.methodLink(s, finding.RuleDoc, f.Rule)
		switch {
		case f.Signal != "":
			c := b.callout(s, f, mine, href)
			if mine {
				c.Anchor = s.anchor("callout-" + f.Rule)
				b.pages.show(f, s.path, c.Anchor)
			}
			s.Callouts = append(s.Callouts, c)
		case mine && f.Unjudged:
			b.pages.show(f, s.path, "unjudged")
			s.Unjudged = append(s.Unjudged, remark{f.Level.String(), coded(text), coded(remedy), f.Rule, href, placeOf(f.Span)})
		case mine:
			b.pages.show(f, s.path, "inspection")
			s.Remarks = append(s.Remarks, remark{f.Level.String(), coded(text), coded(remedy), f.Rule, href, placeOf(f.Span)})
		}
	}
	slices.SortStableFunc(s.Callouts, func(a, b callout) int { return rank(a.Signal) - rank(b.Signal) })
	s.Block.Inspection = verdict(counts)
}

func placeOf(s finding.Span) string {
	p := s.Position()
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s, line %d", p.File, p.Line)
}

// verdict is what inspection said, in the words of the title block.
func verdict(counts map[finding.Level]int) string {
	var said []string
	for _, l := range []finding.Level{finding.Error, finding.Warning, finding.Note} {
		if n := counts[l]; n > 0 {
			said = append(said, count(n, l.String()))
		}
	}
	if len(said) == 0 {
		return "clean"
	}
	return strings.Join(said, ", ")
}

func count(n int, singular string) string {
	if n == 1 {
		return "1 " + singular
	}
	return fmt.Sprintf("%d %ss", n, singular)
}

// several is count without the number of one: "stop", "5 stops".
func several(n int, singular string) string {
	if n == 1 {
		return singular
	}
	return count(n, singular)
}

// sentence is finding.Sentence, in the words of this package.
func sentence(text string) string { return finding.Sentence(text) }
