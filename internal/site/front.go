package site

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// frontView is the view of the front page.
type frontView struct {
	Lead     string
	Vehicles *vehicleTable
	News     *newsTable
	Shelves  []shelf
}

type vehicleTable struct {
	caption
	Rows []vehicleRow
}

type vehicleRow struct {
	Vehicle  link
	Summary  string
	Latest   link
	Straight []link // into the sheets of the latest
	State    string
	Date     *day
	Ran      numeral
	RanOn    string // the run that says so, and under what
	Versions int
}

type newsTable struct {
	caption
	Rows []newsRow
}

type newsRow struct {
	Date *day
	Kind string
	What link
	Of   string
	iso  string
}

// shelf is a list of notes under a head.
type shelf struct {
	Head  string
	Notes []shelfNote
	All   *link // to the whole list, where this is only its beginning
}

type shelfNote struct {
	Note    link
	Date    *day
	Summary string
}

// newsShown is how many of the newest sheets the front page names.
const newsShown = 12

func (b *builder) front(s *sheet) error {
	j := b.in.Journal
	v := frontView{Lead: b.lead()}
	if len(j.Vehicles) > 0 {
		v.Vehicles = &vehicleTable{caption: s.table("vehicles", "The vehicles, and how long each ran as it stands now.")}
		for _, vehicle := range j.Vehicles {
			v.Vehicles.Rows = append(v.Vehicles.Rows, b.vehicleRow(s, vehicle))
		}
	}
	if rows := b.news(s); len(rows) > 0 {
		v.News = &newsTable{caption: s.table("new", "What is new, the newest first."), Rows: rows}
	}
	v.Shelves = b.shelves(s)
	b.pages.concern(frontPage, []string{notes.JournalFile}, nil)
	s.Block.Type, s.Block.Issued = "Index of sheets", dayOf(b.newestOfAll())
	s.Block.Revision = "as issued"
	counts := map[finding.Level]int{}
	for _, f := range b.in.Findings {
		counts[f.Level]++
	}
	s.Block.Inspection = verdict(counts)
	s.Marks, s.Body = true, v
	return nil
}

func (b *builder) lead() string {
	j := b.in.Journal
	versions := 0
	for _, v := range j.Vehicles {
		versions += len(v.Versions)
	}
	kept := ""
	if j.Maker.Name.Set {
		kept = ", kept by " + j.Maker.Name.Text
	}
	return fmt.Sprintf("The journal of %s%s: %s, %s.", count(len(j.Vehicles), "vehicle"), kept, count(versions, "version"), count(len(j.Runs()), "run"))
}

func (b *builder) vehicleRow(s *sheet, vehicle *journal.Vehicle) vehicleRow {
	row := vehicleRow{Vehicle: link{Words: or(vehicle.Name.Text, vehicle.Slug), Href: s.to(vehiclePage(vehicle))},
		Summary: vehicle.Summary.Text, Versions: len(vehicle.Versions)}
	if latest := latestOf(vehicle); latest != nil {
		row.Latest = link{Words: versionWords(latest), Href: s.to(versionPage(latest))}
		row.Straight = b.straightTo(s, latest)
		row.State, row.Date = string(latest.State.Value), dayOf(latest.Date)
		if run := b.best(latest); run != nil {
			row.Ran = b.figure(s, run, "running-time")
			row.RanOn = b.ranOn(run)
		} else if c, ok := b.computedAt(latest, nil); ok {
			row.Ran, row.RanOn = runTime(c.reach.Running, s.to(versionPage(latest))+c.anchor()), "not measured yet: computed from full to "+c.to
		}
	}
	return row
}

// latestOf is the version that stands for a vehicle now: the last that runs, else the last that was retired, else the last.
func latestOf(v *journal.Vehicle) *journal.Version {
	for _, state := range []journal.State{journal.Running, journal.Retired} {
		for _, version := range slices.Backward(v.Versions) {
			if version.State.Value == state {
				return version
			}
		}
	}
	if len(v.Versions) == 0 {
		return nil
	}
	return v.Versions[len(v.Versions)-1]
}

// ranOn says on which run and under what a time was measured: "field run to the cutout with 150 kg".
func (b *builder) ranOn(r *journal.Run) string {
	text := strings.ToLower(runKind(r.Type.Value))
	if openedCutout(b.result(r)) != nil {
		text += " to the cutout"
	}
	if p := b.units(stated(r.Conditions.Payload)); p.Set {
		text += " with " + p.Whole
	}
	return text
}

func (b *builder) news(s *sheet) []newsRow {
	var rows []newsRow
	add := func(d notes.Date, kind string, what link, of string) {
		if d.Set {
			rows = append(rows, newsRow{Date: dayOf(d), Kind: kind, What: what, Of: of, iso: d.String()})
		}
	}
	j := b.in.Journal
	for _, v := range j.Vehicles {
		for _, version := range v.Versions {
			add(version.Date, "Version", link{Words: versionWords(version), Href: s.to(versionPage(version))}, v.Name.Text)
			for _, r := range version.Runs {
				add(r.Date, runKind(r.Type.Value), link{Words: or(r.Name.Text, r.Slug), Href: s.to(runPage(r))},
					fmt.Sprintf("%s, version %d", v.Name.Text, version.Number))
			}
		}
	}
	for _, kind := range noteKinds {
		for _, n := range kind.list(j) {
			add(n.Date, kind.one, link{Words: n.Title.Text, Href: s.to(b.pageOf[n.Note.Path])}, "")
		}
	}
	slices.SortStableFunc(rows, func(a, b newsRow) int { return cmp.Compare(b.iso, a.iso) })
	return rows[:min(len(rows), newsShown)]
}

// noteKinds are the kinds of note that stand beside the vehicles, in the order of the front page: a reader comes with a
// question.
var noteKinds = []struct {
	one, head, folder string
	list              func(*journal.Journal) []*journal.NotePage
}{
	{"Question", "Questions", "questions", func(j *journal.Journal) []*journal.NotePage { return j.Questions }},
	{"Note", "Notes", "notes", func(j *journal.Journal) []*journal.NotePage { return j.Notes }},
	{"Correction", "Corrections", "corrections", func(j *journal.Journal) []*journal.NotePage { return j.Corrections }},
}

func (b *builder) shelves(s *sheet) []shelf {
	var out []shelf
	for _, kind := range noteKinds {
		sh := shelf{Head: kind.head}
		all := kind.list(b.in.Journal)
		if all != nil && kind.folder == "questions" {
			out = append(out, b.asked(s))
			continue
		}
		for _, n := range all {
			sh.Notes = append(sh.Notes, shelfNote{link{Words: or(n.Title.Text, n.Slug), Href: s.to(b.pageOf[n.Note.Path])}, dayOf(n.Date), n.Summary.Text})
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
func (b *builder) asked(s *sheet) shelf {
	all := b.in.Journal.Questions
	sh := shelf{Head: "Asked most", All: &link{Words: "All " + count(len(all), "question"), Href: s.to(questionsPage)}}
	for _, n := range all[:min(len(all), mostAsked)] {
		row := b.questionRow(s, n)
		sh.Notes = append(sh.Notes, shelfNote{Note: row.Question, Summary: or(row.Short, row.State)})
	}
	return sh
}

// newestOfAll is the newest date that stands anywhere in the journal.
func (b *builder) newestOfAll() notes.Date {
	var dates []notes.Date
	for _, v := range b.in.Journal.Vehicles {
		dates = append(dates, datesOf(v)...)
	}
	for _, kind := range noteKinds {
		for _, n := range kind.list(b.in.Journal) {
			dates = append(dates, n.Date)
		}
	}
	return newest(dates...)
}

func datesOf(v *journal.Vehicle) []notes.Date {
	var dates []notes.Date
	for _, version := range v.Versions {
		dates = append(dates, version.Date)
		for _, r := range version.Runs {
			dates = append(dates, r.Date)
		}
	}
	return dates
}
