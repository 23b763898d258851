// Package across lays out the page of a vehicle's versions held against each other, where there are several.
package across

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of a vehicle's versions held against each other, where there are several.
var Kind = reading.Kind{Name: "across", Words: "Side by side", Weight: 0.8, Of: reading.OfVehicle, Pages: func(rd *reading.Reader, at journal.Place) []reading.Page {
	v := at.Vehicle
	if !reading.HasAcross(v) {
		return nil
	}
	to := address.Across(v)
	return []reading.Page{{At: to, Title: v.Name.Text + ": versions side by side", Trail: append(reading.VehicleTrail(v), frame.Link{Words: "Side by side", Href: to}), Lay: func(s *frame.Sheet) error { return lay(rd, s, v) }}}
}}
