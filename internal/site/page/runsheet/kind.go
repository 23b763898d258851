// Package runsheet lays out the form that a planned run is taken with, of each question that wants one.
package runsheet

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the form that a planned run is taken with, of each question that wants one.
var Kind = reading.Kind{Name: "run-sheet", Words: "Run sheet", Weight: 0.6, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	var out []reading.Page
	for _, n := range rd.Journal.Questions {
		if !reading.SheetWanted(n.Question) {
			continue
		}
		to := address.RunSheet(n)
		out = append(out, reading.Page{At: to, Title: "Run sheet: " + n.Title.Text, Trail: []frame.Link{{Words: "Questions", Href: address.Questions}, reading.NoteLink(n), {Words: "Run sheet", Href: to}},
			Lay: func(s *frame.Sheet) error { return lay(rd, s, n) }})
	}
	return out
}}
