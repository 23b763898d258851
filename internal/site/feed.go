package site

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// feedFile is the journal's feed: Atom, RFC 4287. A journal that states no address has none, as an entry must have an
// address of its own.
const feedFile = "feed.xml"

type atomFeed struct {
	XMLName   xml.Name `xml:"http://www.w3.org/2005/Atom feed"`
	Lang      string   `xml:"xml:lang,attr"`
	ID        string   `xml:"id"`
	Title     string   `xml:"title"`
	Updated   string   `xml:"updated"`
	Links     []atomLink
	Author    *atomPerson   `xml:"author"`
	Rights    string        `xml:"rights,omitempty"`
	Generator atomGenerator `xml:"generator"`
	Entries   []atomEntry
}

type atomLink struct {
	XMLName xml.Name `xml:"link"`
	Rel     string   `xml:"rel,attr"`
	Type    string   `xml:"type,attr"`
	Href    string   `xml:"href,attr"`
}

type atomPerson struct {
	Name string `xml:"name"`
}

type atomGenerator struct {
	Version string `xml:"version,attr,omitempty"`
	Name    string `xml:",chardata"`
}

type atomEntry struct {
	XMLName   xml.Name `xml:"entry"`
	ID        string   `xml:"id"`
	Title     string   `xml:"title"`
	Published string   `xml:"published,omitempty"`
	Updated   string   `xml:"updated"`
	Link      atomLink
	Category  atomCategory `xml:"category"`
	Content   atomText     `xml:"content"`
}

type atomCategory struct {
	Term string `xml:"term,attr"`
}

type atomText struct {
	Type string `xml:"type,attr"`
	Text string `xml:",chardata"`
}

// instant is a date as Atom writes it (RFC 3339). A journal knows days; the day begins at midnight of UTC.
func instant(d notes.Date) string { return d.Time().Format("2006-01-02") + "T00:00:00Z" }

// feed lists versions, runs, notes, questions and corrections, newest first. What has no date is not in it.
func (b *builder) feed() error {
	j := b.in.Journal
	if !j.Address.Set {
		return nil
	}
	feed := atomFeed{Lang: b.language, ID: b.address(frontPage), Title: j.Title.Text, Rights: j.Licence.Text, Generator: atomGenerator{b.in.Version, "Voltwright"},
		Links:  []atomLink{{Rel: "self", Type: "application/atom+xml", Href: j.Addressed(feedFile)}, {Rel: "alternate", Type: "text/html", Href: b.address(frontPage)}},
		Author: &atomPerson{or(j.Maker.Name.Text, j.Title.Text)}}
	add := func(page, kind, title, text string, written, changed notes.Date, files ...string) {
		if !changed.Set {
			changed = written
		}
		if !changed.Set {
			return
		}
		e := atomEntry{ID: b.address(page), Title: title, Updated: instant(changed), Link: atomLink{Rel: "alternate", Type: "text/html", Href: b.address(page)}, Category: atomCategory{kind}}
		if written.Set {
			e.Published = instant(written)
		}
		lines := b.calloutLines(files)
		if text != "" {
			lines = append([]string{text}, lines...)
		}
		e.Content = atomText{"text", strings.Join(lines, "\n\n")}
		feed.Entries = append(feed.Entries, e)
	}
	for _, v := range j.Vehicles {
		for _, version := range v.Versions {
			add(versionPage(version), "version", v.Name.Text+", "+midSentence(versionWords(version)), version.Summary.Text, version.Date, notes.Date{}, version.Note.Path)
			for _, r := range version.Runs {
				files := []string{r.Note.Path}
				if r.Log != nil && r.Log.Path != "" {
					files = append(files, r.Log.Path)
				}
				add(runPage(r), "run", fmt.Sprintf("%s, version %d: %s", v.Name.Text, version.Number, or(r.Name.Text, r.Slug)), r.Summary.Text, r.Date, notes.Date{}, files...)
			}
		}
	}
	for _, n := range j.Notes {
		add("notes/"+n.Slug+"/index.html", "note", n.Title.Text, n.Summary.Text, n.Date, notes.Date{}, n.Note.Path)
	}
	for _, n := range j.Questions {
		add(questionPage(n), "question", n.Title.Text, b.answerText(n), n.Date, b.changedOn(n), append(n.Question.Files(), n.Note.Path)...)
	}
	for _, n := range j.Corrections {
		var said []string
		for _, p := range n.Correction.Said.List {
			said = append(said, p.In.Text)
		}
		add(correctionPage(n), "correction", "Correction: "+n.Title.Text, onPage(b.plainOpening(n)), n.Date, notes.Date{}, append(said, n.Note.Path)...)
	}
	slices.SortStableFunc(feed.Entries, func(a, b atomEntry) int { return cmp.Compare(b.Updated, a.Updated) })
	feed.Updated = instant(b.newestOfAll())
	if len(feed.Entries) > 0 {
		feed.Updated = feed.Entries[0].Updated
	} else if !b.newestOfAll().Set {
		return nil
	}
	text, err := xml.MarshalIndent(feed, "", " ")
	if err != nil {
		return err
	}
	return b.pages.put(feedFile, append([]byte(xml.Header), append(text, '\n')...))
}

// calloutLines are the callouts of files as plain text, the most serious first.
func (b *builder) calloutLines(files []string) []string {
	var found []finding.Finding
	for _, f := range b.in.Findings {
		if f.Signal != "" && slices.Contains(files, f.Span.File()) {
			found = append(found, f)
		}
	}
	slices.SortStableFunc(found, func(a, b finding.Finding) int { return rank(string(a.Signal)) - rank(string(b.Signal)) })
	var out []string
	for _, f := range found {
		out = append(out, strings.TrimSpace(string(f.Signal)+": "+sentence(f.Text)+" "+sentence(f.Remedy)))
	}
	return out
}

// changedOn is when a question last changed, as a date of the journal.
func (b *builder) changedOn(n *journal.NotePage) notes.Date {
	date, _ := b.lastChange(&sheet{path: questionPage(n)}, n)
	return date
}
