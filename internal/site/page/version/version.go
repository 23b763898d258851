package version

import (
	"html/template"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/cautions"
	"voltwright/internal/site/comparison"
	"voltwright/internal/site/driving"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/results"
	"voltwright/internal/site/spec"
	"voltwright/internal/site/wiringsheet"
)

// versionView is the view of a version's page.
type versionView struct {
	Vehicle    frame.Link
	Number     int
	State      string
	Date       *frame.Day
	Follows    *frame.Link
	Superseded *successorView
	Answer     *answer.Answer
	Glance     []spec.Group
	Spec       *spec.Table
	Story      template.HTML
	Parts      *partslist.PartsView
	Wiring     *wiringsheet.WiringView
	Forecast   *forecast.ForecastView
	Times      *results.Runs
	Matters    *forecast.MatterView
	Chatter    *forecast.ChatterView
	Charging   *forecast.ChargingView
	Driving    *driving.DrivingView
	Cautions   []string
	Lithium    bool
	Changes    *comparison.ChangesView
	Across     *frame.Link
}

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Version) error {
	computed, err := forecast.Of(rd, s, v)
	if err != nil {
		return err
	}
	driving := driving.Of(rd, s, v)                         // above the story, so its tables are numbered first
	if a := rd.Answers(v); a != nil && len(a.Charges) > 0 { // it stands below the story and has no number yet
		s.ShowOf(notes.TableScheme, "charge-time", v.Path(), frame.Caption{Anchor: "table-charge-time", Label: "The table of charge times"})
	}
	var drawn *wiringsheet.WiringView
	if rd.Wired(v) != nil {
		drawn = &wiringsheet.WiringView{}
		if err := wiringsheet.Drawings(rd, s, v, drawn); err != nil {
			return err
		}
	}
	story, err := prose.Render(rd, s, v.Document(), 2)
	if err != nil {
		return err
	}
	view := versionView{Wiring: drawn, Forecast: computed, Driving: driving, Number: v.Number, Vehicle: frame.Link{Words: v.Vehicle.Name.Text, Href: s.To(address.Vehicle(v.Vehicle))},
		State: string(v.State.Value), Date: frame.DayOf(v.Date), Story: story}
	if v.Before != nil {
		view.Follows = &frame.Link{Words: reading.VersionWords(v.Before), Href: s.To(address.Version(v.Before))}
	}
	view.Superseded = superseded(rd, s, v)
	view.Answer = answer.Of(rd, s, v, ".")
	if t, ok := results.RunsTable(rd, s, []*journal.Version{v}, ""); ok {
		view.Times = &t
	}
	if view.Matters, err = forecast.Matters(rd, s, v); err != nil {
		return err
	}
	view.Chatter, view.Charging = forecast.Chatter(rd, s, v), forecast.Charging(rd, s, v)
	if view.Wiring != nil {
		if err := wiringsheet.Fill(rd, s, v, view.Wiring); err != nil {
			return err
		}
	}
	if view.Parts, err = partslist.Of(rd, s, v); err != nil {
		return err
	}
	view.Changes = comparison.Of(rd, s, v)
	if reading.HasAcross(v.Vehicle) {
		view.Across = &frame.Link{Words: "All versions held against each other", Href: s.To(address.Across(v.Vehicle))}
	}
	versionSpec(rd, s, v, &view)
	own, also := []string{v.Note.Path}, []string{}
	if v.PartsSource != "" {
		own = append(own, v.PartsSource)
	}
	dates := frame.Newest(v.Date)
	for _, r := range v.Runs {
		also = append(also, r.Note.Path)
		if r.Log != nil && r.Log.Path != "" {
			also = append(also, r.Log.Path)
		}
		dates = frame.Newest(dates, r.Date)
	}
	rd.Inspect(s, own, also)
	view.Cautions = cautions.ForRiders(v)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Version", frame.DayOf(dates), "version "+reading.VersionNumber(v)
	s.Marks, s.Body = true, view
	return nil
}

func versionSpec(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *versionView) {
	lines := spec.Of(rd, s, v)
	var glance []spec.Item
	for _, item := range lines {
		if item.Glance {
			glance = append(glance, item)
		}
	}
	view.Glance = spec.SideBySide([][]spec.Item{glance})
	specs, versions := [][]spec.Item{lines}, []frame.Link{{Words: "Version " + reading.VersionNumber(v)}}
	words := "The whole spec."
	if v.Before != nil {
		specs = [][]spec.Item{spec.Of(rd, s, v.Before), lines}
		versions = []frame.Link{{Words: "Version " + reading.VersionNumber(v.Before), Href: s.To(address.Version(v.Before))}, versions[0]}
		words = "The whole spec beside that of the version before. What differs is in bold with an arrow."
	}
	if len(lines) > 0 {
		view.Spec = &spec.Table{Caption: s.Table("spec", words), Versions: versions, Groups: spec.SideBySide(specs)}
	}
}
