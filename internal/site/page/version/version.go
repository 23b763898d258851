package version

import (
	"html/template"
	"strconv"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/cautions"
	"voltwright/internal/site/comparison"
	"voltwright/internal/site/driving"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/results"
	"voltwright/internal/site/spec"
	"voltwright/internal/site/upkeep"
	"voltwright/internal/site/wiringsheet"
	"voltwright/internal/study"
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
	Plate      []plateCell
	Leaves     frame.Leaves
	Spec       *spec.Table
	TakenOver  *takenOver
	Story      template.HTML // its first paragraph, where there is no summary
	Rest       template.HTML
	Parts      *partslist.PartsView
	Wiring     *wiringsheet.WiringView
	Forecast   *forecast.ForecastView
	Moved      []forecast.MovedLine
	Times      *results.Runs
	Ranges     *forecast.Ranges
	Matters    *forecast.MatterView
	Chatter    *forecast.ChatterView
	Charging   *forecast.ChargingView
	Driving    *driving.DrivingView
	Cautions   []string
	Changes    *comparison.ChangesView
	Changed    *wiringsheet.Drawing // what it changes in the wiring
	Across     *frame.Link
	Failures   *upkeep.Failures
	ToDo       []string
}

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Version) error {
	view := versionView{Number: v.Number, Vehicle: frame.Link{Words: v.Vehicle.Name.Text, Href: s.To(address.Vehicle(v.Vehicle))},
		State: string(v.State.Value), Date: frame.DayOf(v.Date), Plate: plateOf(rd, s, v), Leaves: frame.Leaves{}}
	if v.Before != nil {
		view.Follows = &frame.Link{Words: reading.VersionWords(v.Before), Href: s.To(address.Version(v.Before))}
	}
	view.Superseded = superseded(rd, s, v)
	view.Answer = answer.Of(rd, s, v, ".")
	s.Said = view.Answer.Said()
	for _, fill := range []func(*reading.Reader, *frame.Sheet, *journal.Version, *versionView) error{fillComputed, fillWiring, fillParts, fillRuns, fillStory} {
		if err := fill(rd, s, v, &view); err != nil {
			return err
		}
	}
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
	view.Leaves.Add("cautions", "", "Cautions that always hold", numeral.Say(strconv.Itoa(len(view.Cautions))+"."))
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Version", frame.DayOf(dates), "version "+reading.VersionNumber(v)
	s.Marks, s.CorrectedBelow, s.Body = true, true, view
	return nil
}

// fillComputed fills the leaves A and B, which come first so that their tables and figures are numbered in reading order.
func fillComputed(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *versionView) error {
	var err error
	if view.Forecast, err = forecast.Of(rd, s, v); err != nil {
		return err
	}
	view.Ranges, view.Moved = forecast.LoadRanges(rd, s, v), forecast.AllMoved(rd, s, v)
	if view.Matters, err = forecast.Matters(rd, s, v); err != nil {
		return err
	}
	view.Chatter, view.Driving = forecast.Chatter(rd, s, v), driving.Of(rd, s, v)
	if view.Forecast != nil {
		view.Leaves.Add("run-time", "A", "How long it runs", forecast.RunTimeFace(rd, s, v)...)
	}
	if d := rd.Driven(v); d != nil {
		view.Leaves.Add("driving", "B", "How it drives", driving.Face(rd, d)...)
	}
	return nil
}

// fillWiring fills the leaves C and D.
func fillWiring(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *versionView) error {
	w := rd.Wired(v)
	if w == nil {
		return nil
	}
	view.Wiring = &wiringsheet.WiringView{}
	if err := wiringsheet.Drawings(rd, s, v, view.Wiring); err != nil {
		return err
	}
	if err := wiringsheet.Fill(rd, s, v, view.Wiring); err != nil {
		return err
	}
	if steps := study.FirstPower(v, w); view.Wiring.CutList != nil && len(steps) > 0 {
		view.Wiring.CutList.Power = &frame.Link{Words: "First power-up", Href: s.To(address.FirstPower(v)), Note: numeral.Count(len(steps), "step") + " from its own circuit"}
	}
	view.Leaves.Add("wiring", "C", "Wiring", wiringsheet.Face(w)...)
	view.Leaves.Add("cut-list", "D", "Cut list", wiringsheet.CutListFace(rd, v)...)
	return nil
}

// fillParts fills the leaves E and F.
func fillParts(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *versionView) error {
	var err error
	if view.Parts, err = partslist.Of(rd, s, v); err != nil {
		return err
	}
	if view.Parts != nil {
		view.Leaves.Add("parts", "E", "Parts and prices", partslist.Face(rd, v, len(view.Parts.Rows))...)
	}
	if view.Charging = forecast.Charging(rd, s, v); view.Charging != nil {
		if t := view.Charging.Table; t != nil {
			s.ShowOf(notes.TableScheme, "charge-time", v.Path(), t.Caption)
		}
		view.Leaves.Add("charging", "F", "Charging and wear", forecast.ChargingFace(rd, v)...)
	}
	return nil
}

// fillRuns fills the leaves G and H, and the spec.
func fillRuns(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *versionView) error {
	var err error
	if t, ok := results.RunsTable(rd, s, []*journal.Version{v}, ""); ok {
		view.Times = &t
		view.Leaves.Add("runs", "G", "Runs", results.Face([]*journal.Version{v})...)
	}
	if view.Failures = upkeep.FailuresOf(s, []*journal.Version{v}, false); view.Failures != nil {
		view.Leaves.Add("failures", "", "What failed", view.Failures.Face()...)
	}
	if view.ToDo = upkeep.ToDoOf(v.ToDo); len(view.ToDo) > 0 {
		view.Leaves.Add("to-do", "", "Still to do", upkeep.ToDoFace(view.ToDo)...)
	}
	if view.Changes = comparison.Of(rd, s, v); view.Changes != nil {
		view.Leaves.Add("what-changed", "H", "What changed", view.Changes.Face()...)
		if view.Changed, err = wiringsheet.Changed(rd, s, v); err != nil {
			return err
		}
	}
	if reading.HasAcross(v.Vehicle) {
		view.Across = &frame.Link{Words: "All versions held against each other", Href: s.To(address.Across(v.Vehicle))}
	}
	versionSpec(rd, s, v, view)
	if view.Spec != nil {
		view.TakenOver = takenOverBy(s, v)
		view.Leaves.Add("spec", "", "The whole spec", numeral.Say(numeral.Count(view.Spec.Rows(), "row")+"."))
	}
	return nil
}

// fillStory fills the story; where the version has no summary, its first paragraph stands open.
func fillStory(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *versionView) error {
	var err error
	render, title := prose.Render, "Story"
	if s.Summary == "" {
		if view.Story, err = prose.Opening(rd, s, v.Document()); err != nil {
			return err
		}
		render, title = prose.Rest, "Read on"
	}
	if view.Rest, err = render(rd, s, v.Document(), 2); err != nil {
		return err
	}
	view.Leaves.Add("story", "", title, numeral.Say(prose.LengthWords(view.Rest)+"."))
	return nil
}

// takenOver says of which version the spec holds where this one's own note says nothing.
type takenOver struct {
	From frame.Link
	Keys string // of the spec, of which something was taken over
}

func takenOverBy(s *frame.Sheet, v *journal.Version) *takenOver {
	if v.LikeVersion == nil || len(v.TakenOver) == 0 {
		return nil
	}
	return &takenOver{From: frame.Link{Words: reading.VersionWords(v.LikeVersion), Href: s.To(address.Version(v.LikeVersion))}, Keys: strings.Join(v.TakenOver, ", ")}
}

func versionSpec(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *versionView) {
	lines := spec.Of(rd, s, v)
	specs, versions := [][]spec.Item{lines}, []frame.Link{{Words: "Version " + reading.VersionNumber(v)}}
	words, of := "The whole spec.", []*journal.Version{v}
	if v.Before != nil {
		specs, of = [][]spec.Item{spec.Of(rd, s, v.Before), lines}, []*journal.Version{v.Before, v}
		versions = []frame.Link{{Words: "Version " + reading.VersionNumber(v.Before), Href: s.To(address.Version(v.Before))}, versions[0]}
		words = "The whole spec beside that of the version before. What differs is in bold with an arrow."
	}
	if len(lines) > 0 {
		view.Spec = spec.NewTable(of, versions, specs)
		view.Spec.Caption = s.Table("spec", words)
	}
}
