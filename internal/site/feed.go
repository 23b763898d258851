package site

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"path"
	"slices"
	"strings"

	"voltwright/internal/journal"
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

// told is an entry with what it is of.
type told struct {
	atomEntry
	page       string
	vehicles   []*journal.Vehicle
	correction bool
}

// feeds writes the journal's feed, one of each vehicle, one of each subject, and one of the corrections, newest first. What has no date is in none.
func feeds(rd *reading.Reader) error {
	j := rd.Journal
	if !j.Address.Set {
		return nil
	}
	all := tellAll(rd)
	if err := writeFeed(rd, address.FeedFile, address.Front, j.Title.Text, all, true); err != nil {
		return err
	}
	for _, v := range j.Vehicles {
		of := slices.DeleteFunc(slices.Clone(all), func(e told) bool { return !slices.Contains(e.vehicles, v) })
		if err := writeFeed(rd, address.VehicleFeed(v), address.Vehicle(v), j.Title.Text+": "+v.Name.Text, of, false); err != nil {
			return err
		}
	}
	for _, subject := range j.Subjects() {
		about := map[string]bool{}
		for _, p := range subject.Places {
			about[address.Place(p)] = true
		}
		of := slices.DeleteFunc(slices.Clone(all), func(e told) bool { return !about[e.page] })
		if err := writeFeed(rd, address.SubjectFeed(subject.Slug), address.Subject(subject.Slug), j.Title.Text+": "+subject.Name, of, false); err != nil {
			return err
		}
	}
	of := slices.DeleteFunc(slices.Clone(all), func(e told) bool { return !e.correction })
	return writeFeed(rd, address.CorrectionsFeed, address.Corrections, j.Title.Text+": corrections", of, false)
}

// feedsOf are the feeds that a page offers besides the journal's: that of its vehicle or its subject, and on the pages of corrections theirs.
func feedsOf(rd *reading.Reader, s *frame.Sheet) []frame.Link {
	if !rd.Journal.Address.Set {
		return nil
	}
	folder, _, _ := strings.Cut(s.Path, "/")
	for _, v := range rd.Journal.Vehicles {
		if v.Slug == folder && slices.ContainsFunc(v.Versions, func(v *journal.Version) bool { return v.Date.Set }) {
			return []frame.Link{{Words: "What is new: " + v.Name.Text, Href: s.To(address.VehicleFeed(v))}}
		}
	}
	switch folder {
	case path.Dir(address.Subjects):
		for _, subject := range rd.Journal.Subjects() {
			if s.Path == address.Subject(subject.Slug) && slices.ContainsFunc(subject.Places, func(p journal.Place) bool { return p.Date().Set }) {
				return []frame.Link{{Words: "What is new: " + subject.Name, Href: s.To(address.SubjectFeed(subject.Slug))}}
			}
		}
	case path.Dir(address.Corrections):
		if slices.ContainsFunc(rd.Journal.Corrections, func(n *journal.NotePage) bool { return n.Date.Set }) {
			return []frame.Link{{Words: "What was put right", Href: s.To(address.CorrectionsFeed)}}
		}
	}
	return nil
}

// tellAll are versions, runs, notes, questions and corrections, newest first.
func tellAll(rd *reading.Reader) []told {
	j := rd.Journal
	var all []told
	add := func(page, kind, title, text string, written, changed notes.Date, of []*journal.Vehicle, files ...string) {
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
		all = append(all, told{e, page, of, kind == "correction"})
	}
	for _, v := range j.Vehicles {
		of := []*journal.Vehicle{v}
		for _, version := range v.Versions {
			add(address.Version(version), "version", v.Name.Text+", "+numeral.MidSentence(reading.VersionWords(version)), version.Summary.Text, version.Date, notes.Date{}, of, version.Note.Path)
			for _, r := range version.Runs {
				files := []string{r.Note.Path}
				if r.Log != nil && r.Log.Path != "" {
					files = append(files, r.Log.Path)
				}
				add(address.Run(r), "run", fmt.Sprintf("%s, version %d: %s", v.Name.Text, version.Number, cmp.Or(r.Name.Text, r.Slug)), r.Summary.Text, r.Date, notes.Date{}, of, files...)
			}
		}
	}
	for _, n := range j.Notes {
		add(address.Note(n), "note", n.Title.Text, n.Summary.Text, n.Date, notes.Date{}, nil, n.Note.Path)
	}
	for _, n := range j.Questions {
		var of []*journal.Vehicle
		for _, v := range n.Question.Concerned() {
			of = append(of, v.Vehicle)
		}
		add(address.Question(n), "question", n.Title.Text, linked.AnswerText(rd, n), n.Date, rd.ChangedOn(n), of, append(n.Question.Files(), n.Note.Path)...)
	}
	for _, n := range j.Corrections {
		var said []string
		for _, p := range n.Correction.Said.List {
			said = append(said, p.In.Text)
		}
		var of []*journal.Vehicle
		for _, p := range n.Correction.Places() {
			of = append(of, p.Vehicle)
		}
		add(address.Correction(n), "correction", "Correction: "+n.Title.Text, numeral.OnPage(rd.PlainOpening(n)), n.Date, notes.Date{}, of, append(said, n.Note.Path)...)
	}
	slices.SortStableFunc(all, func(a, b told) int { return cmp.Compare(b.Updated, a.Updated) })
	return all
}

// writeFeed writes a feed, one without entries only where always is set.
func writeFeed(rd *reading.Reader, at, page, title string, all []told, always bool) error {
	j := rd.Journal
	feed := atomFeed{Lang: rd.Language, ID: rd.Address(page), Title: title, Rights: j.Licence.Text, Generator: atomGenerator{rd.Version, "Voltwright"},
		Links:  []atomLink{{Rel: "self", Type: "application/atom+xml", Href: j.Addressed(at)}, {Rel: "alternate", Type: "text/html", Href: rd.Address(page)}},
		Author: &atomPerson{cmp.Or(j.Maker.Name.Text, j.Title.Text)}}
	for _, e := range all {
		feed.Entries = append(feed.Entries, e.atomEntry)
	}
	switch {
	case len(feed.Entries) > 0:
		feed.Updated = feed.Entries[0].Updated
	case always && rd.NewestOfAll().Set:
		feed.Updated = frame.Instant(rd.NewestOfAll())
	default:
		return nil
	}
	text, err := xml.MarshalIndent(feed, "", " ")
	if err != nil {
		return err
	}
	return rd.Pages.Put(at, append([]byte(xml.Header), append(text, '\n')...))
}
