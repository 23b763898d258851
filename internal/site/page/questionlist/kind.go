// Package questionlist lays out the list of questions, of a journal that has some.
package questionlist

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the list of questions, of a journal that has some.
var Kind = reading.Kind{Name: "questions", Words: "List", Weight: 0.5, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	if len(rd.Journal.Questions) == 0 {
		return nil
	}
	return reading.Alone(address.Questions, "Questions", "", func(s *frame.Sheet) error { return lay(rd, s) })
}}
