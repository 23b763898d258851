// Package missing lays out the page that a server shows for an address that is not there.
package missing

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page that a server shows for an address that is not there.
var Kind = reading.Kind{Name: "missing", Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	return reading.Alone(address.Missing, "Page not found", "", func(s *frame.Sheet) error { return lay(rd, s) })
}}
