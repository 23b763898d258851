// Package standing lays out what a version answers by itself to what readers always ask, each answer at an address of its own.
package standing

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is what a version answers by itself to what readers always ask.
var Kind = reading.Kind{Name: "standing", Words: "Answers", Weight: 1.2, First: true, Of: reading.OfVersion, Pages: func(rd *reading.Reader, at journal.Place) []reading.Page {
	v := at.Version
	to := address.Standing(v)
	return []reading.Page{{At: to, Title: "What readers ask of version " + reading.VersionNumber(v), Trail: append(reading.VersionTrail(v), frame.Link{Words: "Answers", Href: to}), Lay: func(s *frame.Sheet) error { return lay(rd, s, v) }}}
}}
