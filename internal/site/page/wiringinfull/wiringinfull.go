package wiringinfull

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/wiringsheet"
)

// wiringInFull is the page of what a version's wiring does lead by lead, and of everything that was looked at in it.
type wiringInFull struct {
	Version, Vehicle frame.Link
	wiringsheet.WiringView
}

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Version) error {
	w := rd.Wired(v)
	view := wiringInFull{Version: frame.Link{Words: reading.VersionWords(v), Href: s.To(address.Version(v))}, Vehicle: frame.Link{Words: v.Vehicle.Name.Text, Href: s.To(address.Vehicle(v.Vehicle))}}
	view.Verdicts, view.Assumed = wiringsheet.Verdicts(rd, s, w, true), wiringsheet.Assumptions(w)
	for _, sol := range w.Solutions {
		view.ByLead = append(view.ByLead, wiringsheet.LeadsAt(rd, s, w, sol))
	}
	rd.Inspect(s, nil, []string{v.Note.Path})
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Wiring", frame.DayOf(frame.Newest(v.Date)), "version "+reading.VersionNumber(v)
	s.Marks, s.Body = true, view
	return nil
}
