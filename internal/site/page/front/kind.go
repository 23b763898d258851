// Package front lays out the front page: the vehicles, what is new, and what stands beside the vehicles.
package front

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the front page: the vehicles, what is new, and what stands beside the vehicles.
var Kind = reading.Kind{Name: "front", Words: "Journal", Weight: 0.5, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	return []reading.Page{{At: address.Front, Note: rd.Journal.Note, Title: rd.Journal.Title.Text, Lay: func(s *frame.Sheet) error { return lay(rd, s) }}}
}}
