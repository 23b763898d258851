// Package note lays out the page of a note that stands beside the vehicles.
package note

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of a note that stands beside the vehicles.
var Kind = reading.Kind{Name: "note", Words: "Note", Weight: 1.1, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	var out []reading.Page
	for _, n := range rd.Journal.Notes {
		p := reading.Page{At: address.Note(n), Note: n.Note, Title: n.Title.Text, Trail: []frame.Link{reading.NoteLink(n)}, Lay: func(s *frame.Sheet) error { return lay(rd, s, n) }}
		p.After, p.Before = reading.Beside(rd.Journal.Notes, n, reading.NoteLink, "Newer", "Older") // they stand newest first
		out = append(out, p)
	}
	return out
}}
