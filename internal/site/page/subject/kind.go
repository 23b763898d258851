// Package subject lays out the list of subjects that notes name, and the page of each.
package subject

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the list of the subjects and the page of each, of a journal whose notes name some.
var Kind = reading.Kind{Name: "subject", Words: "Subject", Weight: 0.9, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	subjects := rd.Journal.Subjects()
	if len(subjects) == 0 {
		return nil
	}
	list := frame.Link{Words: "Subjects", Href: address.Subjects}
	out := reading.Alone(list.Href, list.Words, "", func(s *frame.Sheet) error { return layList(rd, s, subjects) })
	link := func(i int) frame.Link {
		return frame.Link{Words: subjects[i].Name, Href: address.Subject(subjects[i].Slug)}
	}
	var numbers []int
	for i := range subjects {
		numbers = append(numbers, i)
	}
	for i := range subjects {
		p := reading.Page{At: link(i).Href, Title: subjects[i].Name, Trail: []frame.Link{list, link(i)}, Lay: func(s *frame.Sheet) error { return lay(rd, s, subjects[i]) }}
		p.Before, p.After = reading.Beside(numbers, i, link, "Subject before", "Next subject")
		out = append(out, p)
	}
	return out
}}
