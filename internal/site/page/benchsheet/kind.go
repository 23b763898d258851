// Package benchsheet lays out the sheet for the bench, where a version's leads are made up, of each version that states some.
package benchsheet

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the sheet for the bench, where a version's leads are made up, of each version that states some.
var Kind = reading.Kind{Name: "bench-sheet", Words: "Bench sheet", Weight: 0.7, Of: reading.OfVersion, Pages: func(rd *reading.Reader, at journal.Place) []reading.Page {
	v := at.Version
	if _, madeUp := rd.LeadsTold(v); !madeUp {
		return nil
	}
	to := address.BenchSheet(v)
	return []reading.Page{{At: to, Title: "Bench sheet: " + v.Name.Text, Trail: append(reading.VersionTrail(v), frame.Link{Words: "Bench sheet", Href: to}), Lay: func(s *frame.Sheet) error { return lay(rd, s, v) }}}
}}
