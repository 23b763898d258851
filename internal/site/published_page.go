package site

import (
	"strings"

	"voltwright/internal/finding"
)

// publishedView is the view of the page that says what is published.
type publishedView struct {
	Placed   []link // runs whose positions are published, near their ends left out
	Contact  *link  // whom to tell of a hole
	FileRule string
}

// published says what is published of the journal, what never is, and what is checked.
func (b *builder) published(s *sheet) error {
	v := publishedView{FileRule: b.methodLink(s, finding.RuleDoc, RuleSealedFile)}
	for _, r := range b.logs {
		if b.logOf[r.Log.Path] != "" && b.placesAsked(r.Log.Path) {
			v.Placed = append(v.Placed, link{Words: r.Version.Vehicle.Name.Text + ": " + runWords(r), Href: s.to(runPage(r))})
		}
	}
	if c := b.in.Journal.Security; c != nil && notAtRoot(b.in.Journal.Address.Text) == "" {
		v.Contact = &link{Words: c.Contact.Text, Note: dayOf(c.Expires).Long}
		if !strings.HasPrefix(c.Contact.Text, "tel:") {
			v.Contact.Href = c.Contact.Text
		}
	}
	b.reference(s, "Published")
	s.Body = v
	return nil
}
