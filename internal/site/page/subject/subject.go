package subject

import (
	"cmp"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// view is the view of the list of subjects, and of a subject.
type view struct {
	Lead string
	Rows []row
}

type row struct {
	To      frame.Link
	Kind    string
	Of      string // the vehicle and the version
	Date    *frame.Day
	Summary string
	day     notes.Date
}

// layList lists the subjects with how much is about each.
func layList(rd *reading.Reader, s *frame.Sheet, subjects []journal.Subject) error {
	v := view{Lead: numeral.Count(len(subjects), "subject") + " that notes of this journal name."}
	for _, subject := range subjects {
		v.Rows = append(v.Rows, row{To: frame.Link{Words: subject.Name, Href: s.To(address.Subject(subject.Slug))}, Kind: numeral.Count(len(subject.Places), "sheet")})
	}
	rd.Reference(s, "Subjects")
	s.Body = v
	return nil
}

// lay lists what is about a subject, the newest first.
func lay(rd *reading.Reader, s *frame.Sheet, subject journal.Subject) error {
	v := view{Lead: numeral.Count(len(subject.Places), "sheet") + " about it, the newest first."}
	for _, p := range subject.Places {
		r := row{To: frame.Link{Words: cmp.Or(p.Heading().Text, strings.Trim(p.Address(), "/")), Href: s.To(address.Place(p))}, Date: frame.DayOf(p.Date()), Summary: numeral.Unbroken(p.Summary().Text), day: p.Date()}
		switch {
		case p.Run != nil:
			r.Kind, r.Of = reading.RunKind(p.Run.Type.Value), p.Vehicle.Name.Text+", version "+reading.VersionNumber(p.Version)
		case p.Version != nil:
			r.Kind, r.Of = "Version", p.Vehicle.Name.Text+", version "+reading.VersionNumber(p.Version)
		case p.Page.Question != nil:
			r.Kind = "Question"
		case p.Page.Correction != nil:
			r.Kind = "Correction"
		default:
			r.Kind = "Note"
		}
		v.Rows = append(v.Rows, r)
	}
	slices.SortStableFunc(v.Rows, func(a, b row) int { return cmp.Compare(b.day.String(), a.day.String()) })
	rd.Reference(s, "Subject")
	s.Body = v
	return nil
}
