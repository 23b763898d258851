package missing

import (
	"net/url"
	"strings"

	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// missingView is the view of the page for what is not there.
type missingView struct{ Front, Search string }

// lay fills the page that a server shows for an address that is not there. It may be shown at any depth, so its
// links begin at the root of the site, which the journal's address names. From disk, and where no address is stated and
// the site stands in a folder of its host, that is not where the site is: so the page asks for its style sheet on the way
// up as well, as far as the site is deep, and a script that is found there puts the links right.
func lay(rd *reading.Reader, s *frame.Sheet) error {
	root := "/"
	if u, err := url.Parse(rd.Journal.Address.Text); err == nil && u.Path != "" {
		root = strings.TrimSuffix(u.Path, "/") + "/"
	}
	s.Root, s.Tries = root, []string{""}
	if !rd.Journal.Address.Set {
		deepest := 0
		for _, p := range rd.Plans {
			deepest = max(deepest, strings.Count(p.Sheet.Path, "/"))
		}
		for up := range deepest {
			s.Tries = append(s.Tries, strings.Repeat("../", up+1))
		}
	}
	for i := range s.Shelf {
		s.Shelf[i].Href = root + s.Shelf[i].Href
	}
	for i := range s.Trail {
		if s.Trail[i].Href != "" {
			s.Trail[i].Href = root + s.Trail[i].Href
		}
	}
	rd.Reference(s, "Notice")
	s.Body = missingView{Front: root + address.Front, Search: root + address.Search}
	return nil
}
