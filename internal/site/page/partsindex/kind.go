// Package partsindex lays out the page of all parts and where each is used, of a journal with a parts list.
package partsindex

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of all parts and where each is used, of a journal with a parts list.
var Kind = reading.Kind{Name: "part-index", Words: "Parts", Weight: 1, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	if !rd.AnyParts() {
		return nil
	}
	return reading.Alone(address.Parts, "Parts", "", func(s *frame.Sheet) error { return lay(rd, s) })
}}
