package site

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/linked"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

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

// feed lists versions, runs, notes, questions and corrections, newest first. What has no date is not in it.
func feed(rd *reading.Reader) error {
	j := rd.Journal
	if !j.Address.Set {
		return nil
	}
	feed := atomFeed{Lang: rd.Language, ID: rd.Address(address.Front), Title: j.Title.Text, Rights: j.Licence.Text, Generator: atomGenerator{rd.Version, "Voltwright"},
		Links:  []atomLink{{Rel: "self", Type: "application/atom+xml", Href: j.Addressed(address.FeedFile)}, {Rel: "alternate", Type: "text/html", Href: rd.Address(address.Front)}},
		Author: &atomPerson{cmp.Or(j.Maker.Name.Text, j.Title.Text)}}
	add := func(page, kind, title, text string, written, changed notes.Date, files ...string) {
		if !changed.Set {
			changed = written
		}
		if !changed.Set {
			return
		}
		e := atomEntry{ID: rd.Address(page), Title: title, Updated: frame.Instant(changed), Link: atomLink{Rel: "alternate", Type: "text/html", Href: rd.Address(page)}, Category: atomCategory{kind}}
		if written.Set {
			e.Published = frame.Instant(written)
		}
		lines := rd.CalloutLines(files)
		if text != "" {
			lines = append([]string{text}, lines...)
		}
		e.Content = atomText{"text", strings.Join(lines, "\n\n")}
		feed.Entries = append(feed.Entries, e)
	}
	for _, v := range j.Vehicles {
		for _, version := range v.Versions {
			add(address.Version(version), "version", v.Name.Text+", "+numeral.MidSentence(reading.VersionWords(version)), version.Summary.Text, version.Date, notes.Date{}, version.Note.Path)
			for _, r := range version.Runs {
				files := []string{r.Note.Path}
				if r.Log != nil && r.Log.Path != "" {
					files = append(files, r.Log.Path)
				}
				add(address.Run(r), "run", fmt.Sprintf("%s, version %d: %s", v.Name.Text, version.Number, cmp.Or(r.Name.Text, r.Slug)), r.Summary.Text, r.Date, notes.Date{}, files...)
			}
		}
	}
	for _, n := range j.Notes {
		add(address.Note(n), "note", n.Title.Text, n.Summary.Text, n.Date, notes.Date{}, n.Note.Path)
	}
	for _, n := range j.Questions {
		add(address.Question(n), "question", n.Title.Text, linked.AnswerText(rd, n), n.Date, rd.ChangedOn(n), append(n.Question.Files(), n.Note.Path)...)
	}
	for _, n := range j.Corrections {
		var said []string
		for _, p := range n.Correction.Said.List {
			said = append(said, p.In.Text)
		}
		add(address.Correction(n), "correction", "Correction: "+n.Title.Text, numeral.OnPage(rd.PlainOpening(n)), n.Date, notes.Date{}, append(said, n.Note.Path)...)
	}
	slices.SortStableFunc(feed.Entries, func(a, b atomEntry) int { return cmp.Compare(b.Updated, a.Updated) })
	feed.Updated = frame.Instant(rd.NewestOfAll())
	if len(feed.Entries) > 0 {
		feed.Updated = feed.Entries[0].Updated
	} else if !rd.NewestOfAll().Set {
		return nil
	}
	text, err := xml.MarshalIndent(feed, "", " ")
	if err != nil {
		return err
	}
	return rd.Pages.Put(address.FeedFile, append([]byte(xml.Header), append(text, '\n')...))
}
