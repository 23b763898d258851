// Package published lays out the page that says what is published of the journal.
package published

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page that says what is published of the journal.
var Kind = reading.Kind{Name: "published", Words: "Published", Weight: 0.5, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	return reading.Alone(address.Published, "What is published", "", func(s *frame.Sheet) error { return lay(rd, s) })
}}
