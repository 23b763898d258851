// Package version lays out the page of a version: its story, and all that is stated, measured and computed of it.
package version

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of a version: its story, and all that is stated, measured and computed of it.
var Kind = reading.Kind{Name: "version", Words: "Version", Weight: 1.2, Of: reading.OfVersion, Pages: func(rd *reading.Reader, at journal.Place) []reading.Page {
	v := at.Version
	p := reading.Page{At: address.Version(v), Note: v.Note, Title: v.Name.Text, Trail: reading.VersionTrail(v), Lay: func(s *frame.Sheet) error { return lay(rd, s, v) }}
	p.Before, p.After = reading.Beside(v.Vehicle.Versions, v, func(o *journal.Version) frame.Link {
		return frame.Link{Words: reading.VersionWords(o), Href: address.Version(o)}
	}, "Version before", "Next version")
	return []reading.Page{p}
}}
