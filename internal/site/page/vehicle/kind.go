// Package vehicle lays out the page of a vehicle: its versions and their specs beside each other.
package vehicle

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of a vehicle: its versions and their specs beside each other.
var Kind = reading.Kind{Name: "vehicle", Words: "Vehicle", Weight: 1.1, Of: reading.OfVehicle, Pages: func(rd *reading.Reader, at journal.Place) []reading.Page {
	v := at.Vehicle
	p := reading.Page{At: address.Vehicle(v), Note: v.Note, Title: v.Name.Text, Trail: reading.VehicleTrail(v), Lay: func(s *frame.Sheet) error { return lay(rd, s, v) }}
	p.Before, p.After = reading.Beside(rd.Journal.Vehicles, v, func(o *journal.Vehicle) frame.Link { return frame.Link{Words: o.Name.Text, Href: address.Vehicle(o)} }, "Vehicle before", "Next vehicle")
	return []reading.Page{p}
}}
