// Package run lays out the page of a run: what it gave, how it was made, and its log.
package run

import (
	"fmt"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of a run: what it gave, how it was made, and its log.
var Kind = reading.Kind{Name: "run", Words: "Run", Weight: 1, Of: reading.OfRun, Pages: func(rd *reading.Reader, at journal.Place) []reading.Page {
	r := at.Run
	p := reading.Page{At: address.Run(r), Note: r.Note, Title: r.Name.Text, Trail: append(reading.VersionTrail(r.Version), frame.Link{Words: reading.RunWords(r), Href: address.Run(r)}), Lay: func(s *frame.Sheet) error { return lay(rd, s, r) }}
	var all []*journal.Run
	for _, v := range r.Version.Vehicle.Versions {
		all = append(all, v.Runs...)
	}
	p.Before, p.After = reading.Beside(all, r, func(o *journal.Run) frame.Link {
		return frame.Link{Words: fmt.Sprintf("%s, version %d", reading.RunWords(o), o.Version.Number), Href: address.Run(o)}
	}, "Run before", "Next run")
	return []reading.Page{p}
}}
