// Package correctionlist lays out the list of corrections, of a journal that has some.
package correctionlist

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the list of corrections, of a journal that has some.
var Kind = reading.Kind{Name: "corrections", Words: "List", Weight: 1.4, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	if len(rd.Journal.Corrections) == 0 {
		return nil
	}
	return reading.Alone(address.Corrections, "Corrections", "", func(s *frame.Sheet) error { return lay(rd, s) })
}}
