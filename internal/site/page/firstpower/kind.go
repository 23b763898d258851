// Package firstpower lays out the page of a version's first power-up, step by step from its own circuit.
package firstpower

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
	"voltwright/internal/study"
)

// Kind is the page of a version's first power-up, of each version that states its wiring.
var Kind = reading.Kind{Name: "first-power", Words: "First power-up", Weight: 0.7, Of: reading.OfVersion, Pages: func(rd *reading.Reader, at journal.Place) []reading.Page {
	v := at.Version
	if _, madeUp := rd.LeadsTold(v); !madeUp || len(study.FirstPower(v, rd.Wired(v))) == 0 {
		return nil
	}
	to := address.FirstPower(v)
	return []reading.Page{{At: to, Title: "First power-up: " + v.Name.Text, Trail: append(reading.VersionTrail(v), frame.Link{Words: "First power-up", Href: to}), Lay: func(s *frame.Sheet) error { return lay(rd, s, v) }}}
}}
