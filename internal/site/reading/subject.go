package reading

import (
	"slices"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
)

// subjectsOf are links to the subjects of a place.
func (rd *Reader) subjectsOf(s *frame.Sheet, p journal.Place) []frame.Link {
	if len(p.Subjects()) == 0 {
		return nil
	}
	var out []frame.Link
	for _, subject := range rd.Journal.Subjects() {
		if slices.Contains(subject.Places, p) {
			out = append(out, frame.Link{Words: subject.Name, Href: s.To(address.Subject(subject.Slug))})
		}
	}
	return out
}
