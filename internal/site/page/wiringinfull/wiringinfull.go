package wiringinfull

import (
	"fmt"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/wiringsheet"
)

// wiringInFull is the page of what a version's wiring does lead by lead, and of everything that was looked at in it.
type wiringInFull struct {
	Version, Vehicle frame.Link
	Headline         string
	Lead             []numeral.Phrase
	StaysLive        []wiringsheet.Live
	Leaves           frame.Leaves
	Revision         *wiringsheet.RevisionView
	wiringsheet.WiringView
}

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Version) error {
	w := rd.Wired(v)
	view := wiringInFull{Version: frame.Link{Words: reading.VersionWords(v), Href: s.To(address.Version(v))}, Vehicle: frame.Link{Words: v.Vehicle.Name.Text, Href: s.To(address.Vehicle(v.Vehicle))},
		Headline: wiringsheet.Headline(w), Lead: wiringsheet.Lead(w), StaysLive: wiringsheet.StaysLive(rd, s, v, w), Leaves: frame.Leaves{}}
	view.Verdicts, view.Assumed = wiringsheet.Verdicts(rd, s, w, true), wiringsheet.Assumptions(w)
	view.Points = wiringsheet.Points(rd, s, w)
	if view.Revision = wiringsheet.Revision(rd, s, v); view.Revision != nil {
		view.Leaves.Add("since-before", "", "Since the version before", numeral.Say(view.Revision.Face))
	}
	for _, sol := range w.Solutions {
		view.ByLead = append(view.ByLead, wiringsheet.LeadsAt(rd, s, w, sol))
	}
	if t := view.Verdicts; t != nil && t.Holds != nil {
		near := 0
		if t.Near != nil {
			near = len(t.Near.Rows)
		}
		view.Leaves.Add("looked-at", "", "All that holds", numeral.Say(fmt.Sprintf("%s by rule, of which %d stand near their limit.", numeral.Count(t.Holds.Count, "thing"), near)))
	}
	if t := view.Verdicts; t != nil && t.Cannot != nil {
		view.Leaves.Add("not-judged", "", "Not judged", numeral.Say(numeral.Count(t.Cannot.Count, "thing")+" for want of a value."))
	}
	view.Leaves.Add("operating-points", "", "What it does", append([]numeral.Phrase{numeral.Say("At " + numeral.Count(len(w.Solutions), "operating point"))}, wiringsheet.PointsFace(w)...)...)
	view.Leaves.Add("lead-by-lead", "", "Lead by lead", numeral.Say(fmt.Sprintf("%s at each of %s.", numeral.Count(len(w.Circuit.Leads), "lead"), numeral.Count(len(w.Solutions), "point"))))
	view.Leaves.Add("assumed", "", "What was assumed", numeral.Say(numeral.Count(len(view.Assumed), "thing")+" that nobody stated."))
	rd.Inspect(s, nil, []string{v.Note.Path})
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Wiring", frame.DayOf(frame.Newest(v.Date)), "version "+reading.VersionNumber(v)
	s.Marks, s.Body = true, view
	return nil
}
