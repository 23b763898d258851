package front

import (
	"cmp"
	"fmt"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// frontView is the view of the front page.
type frontView struct {
	Lead     string
	Vehicles *vehicleTable
	News     *newsTable
	Shelves  []shelf
}

type vehicleTable struct {
	frame.Caption
	Rows []vehicleRow
}

type vehicleRow struct {
	Vehicle  frame.Link
	Summary  string
	Latest   frame.Link
	Straight []frame.Link // into the sheets of the latest
	State    string
	Date     *frame.Day
	Ran      numeral.Numeral
	RanOn    string // the run that says so, and under what
	Versions int
}

type newsTable struct {
	frame.Caption
	Rows []newsRow
}

type newsRow struct {
	Date *frame.Day
	Kind string
	What frame.Link
	Of   string
	iso  string
}

// shelf is a list of notes under a head.
type shelf struct {
	Head  string
	Notes []shelfNote
	All   *frame.Link // to the whole list, where this is only its beginning
}

type shelfNote struct {
	Note    frame.Link
	Date    *frame.Day
	Summary string
}

// newsShown is how many of the newest sheets the front page names.
const newsShown = 6

func lay(rd *reading.Reader, s *frame.Sheet) error {
	j := rd.Journal
	v := frontView{Lead: lead(rd)}
	if len(j.Vehicles) > 0 {
		v.Vehicles = &vehicleTable{Caption: s.Table("vehicles", "The vehicles, and how long each ran as it stands now.")}
		for _, vehicle := range j.Vehicles {
			v.Vehicles.Rows = append(v.Vehicles.Rows, rowOf(rd, s, vehicle))
		}
	}
	if rows := news(rd, s); len(rows) > 0 {
		v.News = &newsTable{Caption: s.Table("new", "What is new, the newest first."), Rows: rows}
	}
	v.Shelves = shelves(rd, s)
	rd.Pages.Concern(address.Front, []string{notes.JournalFile}, nil)
	s.Block.Type, s.Block.Issued = "Index of sheets", frame.DayOf(rd.NewestOfAll())
	s.Block.Revision = "as issued"
	counts := map[finding.Level]int{}
	for _, f := range rd.AllFindings() {
		counts[f.Level]++
	}
	s.Block.Inspection = reading.Verdict(counts)
	s.Marks, s.Body = true, v
	return nil
}

func lead(rd *reading.Reader) string {
	j := rd.Journal
	versions := 0
	for _, v := range j.Vehicles {
		versions += len(v.Versions)
	}
	kept := ""
	if j.Maker.Name.Set {
		kept = ", kept by " + j.Maker.Name.Text
	}
	return fmt.Sprintf("The journal of %s%s: %s, %s.", numeral.Count(len(j.Vehicles), "vehicle"), kept, numeral.Count(versions, "version"), numeral.Count(len(j.Runs()), "run"))
}

func rowOf(rd *reading.Reader, s *frame.Sheet, vehicle *journal.Vehicle) vehicleRow {
	row := vehicleRow{Vehicle: frame.Link{Words: cmp.Or(vehicle.Name.Text, vehicle.Slug), Href: s.To(address.Vehicle(vehicle))},
		Summary: numeral.Unbroken(vehicle.Summary.Text), Versions: len(vehicle.Versions)}
	if latest := reading.LatestOf(vehicle); latest != nil {
		row.Latest = frame.Link{Words: reading.VersionWords(latest), Href: s.To(address.Version(latest))}
		row.Straight = answer.StraightTo(rd, s, latest)
		row.State, row.Date = string(latest.State.Value), frame.DayOf(latest.Date)
		if run := rd.Best(latest); run != nil {
			row.Ran = rd.Figure(s, run, "running-time")
			row.RanOn = rd.RanOn(run)
		} else if c, ok := forecast.ComputedAt(rd, latest, nil); ok {
			row.Ran, row.RanOn = forecast.RunTime(c.Reach.Running, s.To(address.Version(latest))+c.Anchor()), "not measured yet: computed from full to "+c.To
		}
	}
	return row
}

func news(rd *reading.Reader, s *frame.Sheet) []newsRow {
	var rows []newsRow
	add := func(d notes.Date, kind string, what frame.Link, of string) {
		if d.Set {
			rows = append(rows, newsRow{Date: frame.DayOf(d), Kind: kind, What: what, Of: of, iso: d.String()})
		}
	}
	j := rd.Journal
	for _, v := range j.Vehicles {
		for _, version := range v.Versions {
			add(version.Date, "Version", frame.Link{Words: reading.VersionWords(version), Href: s.To(address.Version(version))}, v.Name.Text)
			for _, r := range version.Runs {
				add(r.Date, reading.RunKind(r.Type.Value), frame.Link{Words: cmp.Or(r.Name.Text, r.Slug), Href: s.To(address.Run(r))},
					fmt.Sprintf("%s, version %d", v.Name.Text, version.Number))
			}
		}
	}
	for _, kind := range reading.NoteKinds {
		for _, n := range kind.List(j) {
			add(n.Date, kind.One, frame.Link{Words: n.Title.Text, Href: s.To(rd.PageOf[n.Note.Path])}, "")
		}
	}
	slices.SortStableFunc(rows, func(a, b newsRow) int { return cmp.Compare(b.iso, a.iso) })
	return rows[:min(len(rows), newsShown)]
}

func shelves(rd *reading.Reader, s *frame.Sheet) []shelf {
	var out []shelf
	for _, kind := range reading.NoteKinds {
		sh := shelf{Head: kind.Head}
		all := kind.List(rd.Journal)
		if all != nil && kind.Folder == "questions" {
			out = append(out, asked(rd, s))
			continue
		}
		for _, n := range all {
			sh.Notes = append(sh.Notes, shelfNote{frame.Link{Words: cmp.Or(n.Title.Text, n.Slug), Href: s.To(rd.PageOf[n.Note.Path])}, frame.DayOf(n.Date), numeral.Unbroken(n.Summary.Text)})
		}
		if len(sh.Notes) > 0 {
			out = append(out, sh)
		}
	}
	return out
}

// mostAsked is how many of the questions the front page names.
const mostAsked = 6

// asked is the shelf of the questions that are asked most, each with the first sentence of its answer.
func asked(rd *reading.Reader, s *frame.Sheet) shelf {
	all := rd.Journal.Questions
	sh := shelf{Head: "Asked most", All: &frame.Link{Words: "All " + numeral.Count(len(all), "question"), Href: s.To(address.Questions)}}
	for _, n := range all[:min(len(all), mostAsked)] {
		row := answer.RowOf(rd, s, n)
		sh.Notes = append(sh.Notes, shelfNote{Note: row.Question, Summary: cmp.Or(row.Short, row.State)})
	}
	return sh
}
