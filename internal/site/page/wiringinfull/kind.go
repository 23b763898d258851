// Package wiringinfull lays out the page of a version's wiring lead by lead, where some operating point of it was solved.
package wiringinfull

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of a version's wiring lead by lead, where some operating point of it was solved.
var Kind = reading.Kind{Name: "wiring-page", Words: "Wiring", Weight: 0.9, Of: reading.OfVersion, Pages: func(rd *reading.Reader, at journal.Place) []reading.Page {
	v := at.Version
	if solved, _ := rd.LeadsTold(v); !solved {
		return nil
	}
	to := address.Wiring(v)
	return []reading.Page{{At: to, Title: "Wiring: " + v.Name.Text, Trail: append(reading.VersionTrail(v), frame.Link{Words: "Wiring", Href: to}), Lay: func(s *frame.Sheet) error { return lay(rd, s, v) }}}
}}
