package site

import (
	"cmp"
	"strings"

	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/social"
)

// socialFile is the picture beside a page that stands beside links to it elsewhere.
const socialFile = "page.png"

// longest is how many letters a description has at most; what finds pages shows about so many.
const longest = 200

// forMachines sets what a page says of itself to machines. Its whole address and its picture it has where the journal states an address: both are
// of use by that alone.
func forMachines(rd *reading.Reader, s *frame.Sheet) error {
	said := s.Said
	about := said.Then
	if said.Number != "" {
		number := strings.TrimSpace(said.Before + " " + said.Number)
		if said.Plus != "" {
			number += " ± " + said.Plus
		}
		about = number + ". " + about
	}
	if at, ok := rd.Journal.PlaceOf(s.Note); ok && s.Note != "" && about == "" {
		about = at.Summary().Text
	}
	s.About = shortened(numeral.OnPage(cmp.Or(about, s.Title+", "+rd.Journal.Title.Text+".")))
	s.Feeds = feedsOf(rd, s)
	if !rd.Journal.Address.Set || s.Path == address.Missing { // which is shown at any address
		return nil
	}
	s.Whole = rd.Address(s.Path)
	if said.Number == "" && said.Then == "" {
		return nil
	}
	view := social.Said{Journal: rd.Journal.Title.Text, Title: s.Title, Before: said.Before, Number: said.Number, Plus: said.Plus, Then: said.Then, Course: said.Course}
	var data []byte
	if err := rd.Keep("social picture", &data, func() (err error) {
		data, err = social.Picture(view)
		return err
	}, view); err != nil {
		return err
	}
	at := strings.TrimSuffix(s.Path, "index.html") + socialFile
	if err := rd.Pages.Put(at, data); err != nil {
		return err
	}
	s.Social = &frame.Social{Href: rd.Journal.Addressed(at), Alt: s.Title + ". " + s.About, Width: social.Width, Height: social.Height}
	return nil
}

// shortened ends a text at a word, where it is too long.
func shortened(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	letters := []rune(text)
	if len(letters) <= longest {
		return text
	}
	cut := string(letters[:longest])
	if at := strings.LastIndexByte(cut, ' '); at > 0 {
		cut = cut[:at]
	}
	return strings.TrimRight(cut, ",;:") + " …"
}
