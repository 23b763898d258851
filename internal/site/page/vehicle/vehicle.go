package vehicle

import (
	"fmt"
	"html/template"
	"strconv"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/cautions"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/results"
	"voltwright/internal/site/spec"
	"voltwright/internal/site/upkeep"
)

// vehicleView is the view of a vehicle's page.
type vehicleView struct {
	Story    template.HTML
	Answer   *answer.Answer
	Straight []frame.Link // into the sheets of the version that stands for it now
	Latest   string
	Versions *versionTable
	Spec     *spec.Table
	Ranges   *forecast.Ranges
	Times    *results.Runs
	Cautions []string // where there is a spec
	Across   *frame.Link
	Sheet    []spec.Row
	Failures *upkeep.Failures
	Work     *upkeep.Work
	ToDo     []string
	Leaves   frame.Leaves
}

type versionTable struct {
	frame.Caption
	Computed bool // some row has a computed time
	Rows     []versionRow
}

type versionRow struct {
	Version frame.Link
	Number  int
	Date    *frame.Day
	State   string
	Summary string
	Ran     numeral.Numeral
	RanOn   string
	Run     numeral.Numeral // as it is computed
	RunOn   []numeral.Phrase
}

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle) error {
	view := vehicleView{Leaves: frame.Leaves{}}
	if latest := reading.LatestOf(v); latest != nil {
		view.Answer = answer.Of(rd, s, latest, ", version "+reading.VersionNumber(latest)+".")
		s.Said = view.Answer.Said()
		view.Straight, view.Latest = answer.StraightTo(rd, s, latest), "version "+reading.VersionNumber(latest)
	}
	if len(v.Versions) > 0 {
		view.Versions = &versionTable{Caption: s.Table("versions", "The versions, in the order in which they were built.")}
		var specs [][]spec.Item
		var links []frame.Link
		for _, version := range v.Versions {
			row := versionRow{Version: frame.Link{Words: version.Name.Text, Href: s.To(address.Version(version))}, Number: version.Number,
				Date: frame.DayOf(version.Date), State: string(version.State.Value), Summary: numeral.Unbroken(version.Summary.Text)}
			if run := rd.Best(version); run != nil {
				row.Ran, row.RanOn = rd.Figure(s, run, "running-time"), rd.RanOn(run)
			}
			if c, ok := forecast.ComputedAt(rd, version, rd.Best(version)); ok {
				row.Run, row.RunOn = forecast.RunTime(c.Reach.Running, s.To(address.Version(version))+c.Anchor()), computedOn(rd, s, version, c)
				view.Versions.Computed = true
			}
			view.Versions.Rows = append(view.Versions.Rows, row)
			specs = append(specs, spec.Of(rd, s, version))
			links = append(links, frame.Link{Words: "Version " + reading.VersionNumber(version), Href: row.Version.Href})
		}
		view.Spec = spec.NewTable(v.Versions, links, specs)
	}
	if reading.HasAcross(v) {
		view.Across = &frame.Link{Words: "The versions held against each other", Href: s.To(address.Across(v)), Note: "what is larger than its uncertainty, and what cannot be compared"}
	}
	story, err := prose.Render(rd, s, v.Document(), 2)
	if err != nil {
		return err
	}
	view.Story = story
	view.Ranges = forecast.VersionRanges(rd, s, v)
	if t, ok := results.RunsTable(rd, s, v.Versions, ""); ok {
		view.Times = &t
	}
	if view.Spec != nil && len(view.Spec.Groups) == 0 {
		view.Spec = nil
	}
	if view.Spec != nil {
		words := "The spec of each version. What differs from the version before is in bold with an arrow."
		if len(v.Versions) == 1 {
			words = "The spec."
		}
		view.Spec.Caption = s.Table("spec", words)
		view.Cautions = cautions.ForRiders(v.Versions...)
		view.Leaves.Add("cautions", "", "Cautions that always hold", numeral.Say(strconv.Itoa(len(view.Cautions))+"."))
	}
	fillUpkeep(rd, s, v, &view)
	view.Leaves.Add("story", "", "Story", numeral.Say(prose.LengthWords(view.Story)+"."))
	view.Leaves.Add("run-times", "", "Runs", results.Face(v.Versions)...)
	if view.Spec != nil {
		view.Leaves.Add("spec", "", "Side by side", numeral.Say(fmt.Sprintf("%s of %s.", numeral.Count(view.Spec.Rows(), "row"), numeral.Count(len(v.Versions), "version"))))
	}
	s.CorrectedBelow = true
	rd.Inspect(s, []string{v.Note.Path}, nil)
	s.Block.Type, s.Block.Issued = "Vehicle", frame.DayOf(frame.Newest(reading.DatesOf(v)...))
	s.Block.Revision = numeral.Count(len(v.Versions), "version")
	s.Marks, s.Body = true, view
	return nil
}

// fillUpkeep fills what the vehicle is, what failed, what was done and what is to do.
func fillUpkeep(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle, view *vehicleView) {
	if view.Sheet = upkeep.SheetOf(rd, v); len(view.Sheet) > 0 {
		view.Leaves.Add("vehicle", "", "The vehicle", upkeep.SheetFace(view.Sheet)...)
	}
	if view.Failures = upkeep.FailuresOf(s, v.Versions, true); view.Failures != nil {
		view.Leaves.Add("failures", "", "What failed", view.Failures.Face()...)
	}
	if view.Work = upkeep.WorkOf(rd, s, v); view.Work != nil {
		view.Leaves.Add("maintenance", "", "Maintenance", view.Work.Face()...)
	}
	if view.ToDo = upkeep.ToDoOf(v.ToDo); len(view.ToDo) > 0 {
		view.Leaves.Add("to-do", "", "Still to do", upkeep.ToDoFace(view.ToDo)...)
	}
}

// computedOn says under what the computed time of a version is computed.
func computedOn(rd *reading.Reader, s *frame.Sheet, v *journal.Version, c forecast.ComputedRun) []numeral.Phrase {
	out := append([]numeral.Phrase{numeral.Say("to " + c.To + ", ")}, forecast.Where(rd, s, v, c, rd.Best(v))...)
	if others := c.Others(""); len(others) > 0 {
		out = append(append(out, numeral.Say("; ")), others...)
	}
	return out
}
