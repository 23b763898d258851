// Package search lays out the page that is asked for words, and without a script is their register.
package search

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page that is asked for words, and without a script is their register. It is laid out from pages as they stand, so
// its line in the table of kinds stands below those that can be found.
var Kind = reading.Kind{Name: "search", Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	return reading.Alone(address.Search, "Search and register", "Search", func(s *frame.Sheet) error { return lay(rd, s) })
}}
