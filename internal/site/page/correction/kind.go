// Package correction lays out the page of a correction: what was said, what is so, and how that was found.
package correction

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of a correction: what was said, what is so, and how that was found.
var Kind = reading.Kind{Name: "correction", Words: "Correction", Weight: 1, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	var out []reading.Page
	for _, n := range rd.Journal.Corrections {
		p := reading.Page{At: address.Correction(n), Note: n.Note, Title: n.Title.Text, Trail: []frame.Link{{Words: "Corrections", Href: address.Corrections}, reading.NoteLink(n)}, Lay: func(s *frame.Sheet) error { return lay(rd, s, n) }}
		p.After, p.Before = reading.Beside(rd.Journal.Corrections, n, reading.NoteLink, "Newer", "Older") // they stand newest first
		out = append(out, p)
	}
	return out
}}
