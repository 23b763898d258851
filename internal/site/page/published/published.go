package published

import (
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// publishedView is the view of the page that says what is published.
type publishedView struct {
	Placed   []frame.Link // runs whose positions are published, near their ends left out
	Contact  *frame.Link  // whom to tell of a hole
	FileRule string
}

// lay says what is published of the journal, what never is, and what is checked.
func lay(rd *reading.Reader, s *frame.Sheet) error {
	v := publishedView{FileRule: rd.MethodLink(s, finding.RuleDoc, reading.RuleSealedFile)}
	for _, r := range rd.Logs {
		if rd.LogOf[r.Log.Path] != "" && rd.PlacesAsked(r.Log.Path) {
			v.Placed = append(v.Placed, frame.Link{Words: r.Version.Vehicle.Name.Text + ": " + reading.RunWords(r), Href: s.To(address.Run(r))})
		}
	}
	if c := rd.Journal.Security; c != nil && address.NotAtRoot(rd.Journal.Address.Text) == "" {
		v.Contact = &frame.Link{Words: c.Contact.Text, Note: frame.DayOf(c.Expires).Long}
		if !strings.HasPrefix(c.Contact.Text, "tel:") {
			v.Contact.Href = c.Contact.Text
		}
	}
	rd.Reference(s, "Published")
	s.Body = v
	return nil
}
