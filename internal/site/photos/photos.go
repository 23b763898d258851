// Package photos shows the maker's photos: the one that a page opens with, with its marks, and the gallery.
package photos

import (
	"fmt"
	"net/url"
	"path"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
)

// Lead sets the photo that a page opens with.
func Lead(rd *reading.Reader, s *frame.Sheet) error {
	at, shown := of(rd, s)
	if shown.Lead == nil {
		return nil
	}
	p, err := photo(rd, s, at, shown.Lead)
	if err != nil || p == nil {
		return err
	}
	p.Once, p.Sizes = true, reading.WholeSheet
	marked(rd, s, at, shown.Marks, p)
	s.Lead = p
	return nil
}

// Gallery sets the further photos of a page.
func Gallery(rd *reading.Reader, s *frame.Sheet) error {
	at, shown := of(rd, s)
	for i := range shown.Gallery {
		p, err := photo(rd, s, at, &shown.Gallery[i])
		if err != nil {
			return err
		}
		if p != nil {
			s.Gallery = append(s.Gallery, p)
		}
	}
	return nil
}

// of is what the page's own note shows.
func of(rd *reading.Reader, s *frame.Sheet) (journal.Place, journal.Shown) {
	if s.Note == "" || s.Note == notes.JournalFile {
		return journal.Place{}, journal.Shown{}
	}
	at, ok := rd.Journal.PlaceOf(s.Note)
	if !ok || s.Path != at.Address()+path.Base(address.Front) {
		return journal.Place{}, journal.Shown{}
	}
	return at, at.Shown()
}

// photo is one photo as a figure; nil where it cannot be shown, which inspection or a finding says.
func photo(rd *reading.Reader, s *frame.Sheet, at journal.Place, from *journal.Photo) (*frame.Photo, error) {
	if from.Path == "" {
		return nil, nil
	}
	picture, ok := rd.Picture(from.Path, from.File.Span)
	if !ok {
		return nil, nil
	}
	words := from.Caption
	if !words.Set {
		words = notes.Line{Word: notes.Word{Text: numeral.Sentence(from.Alt.Text), Set: true}}
	}
	p := &frame.Photo{Caption: s.Figure(notes.Slug(strings.TrimSuffix(path.Base(from.Path), path.Ext(from.Path)))), Image: rd.Image(s, picture, from.Alt.Text)}
	text, err := prose.Line(rd, s, at, words)
	if err != nil {
		return nil, err
	}
	if last := strings.TrimSpace(words.Text); !strings.HasSuffix(last, ".") && !strings.HasSuffix(last, "?") && !strings.HasSuffix(last, "!") {
		text += "."
	}
	p.Words, p.Quoted = text, words.Text
	if u, err := url.Parse(from.Film.Text); from.Film.Set && err == nil {
		p.Film = &frame.Link{Words: "The film, at " + u.Hostname(), Href: u.String()}
	}
	return p, nil
}

// marked puts the marks on a photo.
func marked(rd *reading.Reader, s *frame.Sheet, at journal.Place, marks []journal.PhotoMark, p *frame.Photo) {
	letter := 'A'
	var all []spot
	v := at.Marked()
	for i := range marks {
		m := &marks[i]
		if !m.At.Set {
			continue
		}
		b := spot{x: m.At.X, y: m.At.Y}
		switch number := v.PartNumber(m.Part.Text); {
		case m.Part.Set && number > 0:
			row := keyRow(rd, s, v, at, m.Part.Text, number)
			p.Key = append(p.Key, row)
			b.mark, b.words, b.href = row.Mark, row.Words, "#"+row.Anchor
		case m.Text.Set:
			b.mark, b.words = string(letter), m.Text.Text
			p.Letters = append(p.Letters, [2]string{b.mark, b.words})
			letter++
		default:
			continue
		}
		all = append(all, b)
	}
	p.Above, p.AboveHeight, p.Below, p.BelowHeight = strips(all)
	if len(p.Key) > 0 {
		p.KeyFace = fmt.Sprintf("%s by their numbers", numeral.Count(len(p.Key), "part"))
	}
}

// keyRow says of a marked part where else it is found: among the leads of the cut list, on the drawing and among the parts.
func keyRow(rd *reading.Reader, s *frame.Sheet, v *journal.Version, at journal.Place, name string, number int) frame.KeyRow {
	row := frame.KeyRow{Anchor: s.Anchor(address.ItemAnchor(number)), Mark: fmt.Sprint(number), Words: name}
	page := ""
	if at.Version != v || at.Run != nil {
		page = s.To(address.Version(v))
	}
	link := func(words, anchor string) {
		row.Links = append(row.Links, frame.Link{Words: words, Href: page + "#" + anchor})
	}
	link("drawing", address.PowerAnchor)
	if w := rd.Wired(v); w != nil {
		for i := range w.Whips {
			if whip := &w.Whips[i]; journal.PartKey(whip.A.At.Part) == journal.PartKey(name) || journal.PartKey(whip.B.At.Part) == journal.PartKey(name) {
				link("lead "+whip.Label, address.LeadAnchor(i+1))
			}
		}
	}
	for i := range v.Parts {
		if part := &v.Parts[i]; part.IsWired(name) && part.How.Value != journal.TakenOff {
			link("part", address.PartAnchor(part.Name.Text))
			break
		}
	}
	return row
}
