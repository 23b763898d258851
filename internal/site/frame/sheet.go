// Package frame is what all pages share: the sheet with its title block and navigation, the theme that makes HTML of a view, the
// pages in memory, and the writing of them to a folder. It knows no kind of page.
package frame

import (
	"fmt"
	"html/template"
	"time"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
)

// Sheet is the view of a whole page: what is the same on all of them, and Body, the view of its kind.
type Sheet struct {
	Lang     string
	Title    string
	Heading  template.HTML // the title, with what is bound in it
	Summary  template.HTML // of the note that the page is made from
	Journal  string
	Root     string   // path from the page to the root of the site, "../../" or ""
	Tries    []string // of the page whose own address is not known: other paths to the root that may be right
	Trail    []Link   // from the front page to this one
	Shelf    []Link   // the sheets that explain the others
	Before   *Link
	After    *Link
	Notice   string
	Subjects []Link // what its note is about
	HeldBack bool   // its note is held back: it is in a trial print alone
	Block    titleBlock
	Charts   bool // the page has charts
	Quotable bool // the page has a line to be copied
	Drawings bool // the page has drawings of wiring
	Reckons  bool // the page has fields for other numbers
	Searches bool // the page has the field and the register
	Marks    bool // the page has numbers of the three kinds
	Callouts Callouts
	Unjudged []Remark // what no rule of safety can judge for want of a value
	Remarks  []Remark
	Rests    *rests   // what the text compares, states and quotes; nil: nothing of these
	Said     Said     // what it says first, for machines
	About    string   // its description for machines, "" where it has none
	Whole    string   // its whole address, "" where the journal states none
	Social   *Social  // nil where there is none
	Feeds    []Link   // that tell of what is new of this page's subject, besides that of the journal
	Lead     *Photo   // the photo that the page opens with
	Gallery  []*Photo // further ones
	Body     any
	Linked   template.JS // linked data of the page, "" where it has none
	Feed     bool        // the journal has a feed

	Corrected      []CorrectedLine // the corrections that concern the page
	CorrectedBelow bool            // they stand below the page's answer, where its template puts them

	Path    string
	Note    string // path of the note that the page is made from, "" where it is made from none
	figures int
	tables  int
	ids     map[string]bool
	Charted int                // bytes of the page's charts
	shown   map[string]Caption // plots and tables that the page shows outside its prose
}

// LetGo forgets what the page was made from, once it is made: what others ask of it then is where it stands and what it is called.
func (s *Sheet) LetGo() { *s = Sheet{Path: s.Path, Note: s.Note, Title: s.Title} }

// Show notes that the page shows a plot or table of a run outside its prose.
func (s *Sheet) Show(scheme notes.Scheme, name string, r *journal.Run, c Caption) {
	s.ShowOf(scheme, name, string(r.ID()), c)
}

// ShowOf is show for what belongs to the run, version or vehicle of a path.
func (s *Sheet) ShowOf(scheme notes.Scheme, name, of string, c Caption) {
	if s.shown == nil {
		s.shown = map[string]Caption{}
	}
	s.shown[shownKey(scheme, name, of)] = c
}

// ShownOf is where the page shows what showOf noted; false where it does not.
func (s *Sheet) ShownOf(scheme notes.Scheme, name, of string) (Caption, bool) {
	c, ok := s.shown[shownKey(scheme, name, of)]
	return c, ok
}

// shownKey names a plot or table of a run, version or vehicle among what a page shows of itself.
func shownKey(scheme notes.Scheme, name, of string) string {
	return string(scheme) + ":" + name + ":" + of
}

// Link is a link of a page. Without Href it is the page itself.
type Link struct {
	Words, Href, Note string
}

// titleBlock holds the data fields of ISO 7200:2004 and what inspection said.
type titleBlock struct {
	Owner, Creator string
	Title, Type    string
	Identification string
	Revision       string
	Issued         *Day
	Language       string
	Sheet, Sheets  int
	Licence        string
	Inspection     string
}

// Day is a date as printed and as machines read it.
type Day struct{ Long, ISO string }

// DayOf is nil for a date that is not written.
func DayOf(d notes.Date) *Day {
	if !d.Set {
		return nil
	}
	return &Day{Long: d.Time().Format("2 January 2006"), ISO: d.Time().Format(time.DateOnly)}
}

// Newest is the latest of the dates, not Set if none is.
func Newest(dates ...notes.Date) notes.Date {
	var latest notes.Date
	for _, d := range dates {
		if d.Set && (!latest.Set || d.Time().After(latest.Time())) {
			latest = d
		}
	}
	return latest
}

// Caption is the number and the words of a figure or table; Anchor makes it quotable.
type Caption struct {
	Anchor string
	Label  string // "Figure 2"
	Words  template.HTML
	Quoted string // Words as plain text
}

// Figure numbers the next figure of the page. The anchor is the wish, or the wish with a number where it is taken.
func (s *Sheet) Figure(wish string) Caption {
	s.figures++
	return Caption{Anchor: s.Anchor("fig-" + wish), Label: fmt.Sprintf("Figure %d", s.figures)}
}

// Table numbers the next table of the page.
func (s *Sheet) Table(wish, words string) Caption {
	s.tables++
	return Caption{Anchor: s.Anchor("table-" + wish), Label: fmt.Sprintf("Table %d", s.tables),
		Words: template.HTML(template.HTMLEscapeString(words)), Quoted: words}
}

// Anchor takes an anchor of the page: the wish, or the wish with a number where it is taken.
func (s *Sheet) Anchor(wish string) string {
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

// Taken tells whether the page has an element of that anchor.
func (s *Sheet) Taken(anchor string) bool { return s.ids[anchor] }

// Leading makes a link by a path of the site one from this page; nil stays nil.
func (s *Sheet) Leading(l *Link) *Link {
	if l == nil {
		return nil
	}
	return &Link{Words: l.Words, Href: s.To(l.Href), Note: l.Note}
}

// To is the link from this page to another file of the site.
func (s *Sheet) To(target string) string { return address.Relative(s.Path, target) }

// Remark is any other finding of the page.
type Remark struct {
	Level        string
	Text, Remedy template.HTML
	Rule, Href   string
	Place        string
}

// CorrectedLine is a line at the head of a page that a correction concerns.
type CorrectedLine struct {
	Correction Link
	Date       *Day
	Here       string // anchor of the words that were taken back on this page; "" where it is only touched
	Matters    bool
}

// Instant is a date as Atom writes it (RFC 3339). A journal knows days; the day begins at midnight of UTC.
func Instant(d notes.Date) string { return d.Time().Format("2006-01-02") + "T00:00:00Z" }

// FileLink is a link to a file beside the page, with what is in it.
type FileLink struct {
	Words, Href, What string
}
