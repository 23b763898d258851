// Package upkeep is what the pages of a vehicle and its versions say beside what was measured and computed: what the vehicle is, what failed,
// what was done to keep it running, and what is still to do.
package upkeep

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
)

// SheetOf lists what a vehicle's note states of the vehicle, whatever its version.
func SheetOf(rd *reading.Reader, v *journal.Vehicle) []spec.Row {
	var rows []spec.Row
	add := func(label string, n numeral.Numeral) {
		if n.Set {
			rows = append(rows, spec.Row{Label: label, Cells: []spec.Cell{{Value: rd.Units(n)}}})
		}
	}
	number := func(n notes.Integer) numeral.Numeral {
		if !n.Set {
			return numeral.Numeral{}
		}
		return numeral.Words(strconv.Itoa(n.Value))
	}
	add("Year", number(v.Year))
	add("Gauge", numeral.Stated(v.Gauge))
	add("Wheels", numeral.Words(v.Wheels.Text))
	add("Tyres", numeral.Words(v.Tyres.Text))
	add("Transmission", numeral.Words(v.Transmission.Text))
	add("Seats", number(v.Seats))
	add("Where it runs", numeral.Words(v.RunsAt.Text))
	return rows
}

// SheetFace is the line of the leaf of SheetOf.
func SheetFace(rows []spec.Row) []numeral.Phrase {
	var said []string
	for _, row := range rows[:min(len(rows), 3)] {
		said = append(said, strings.ToLower(row.Label)+" "+row.Cells[0].Value.Whole)
	}
	return []numeral.Phrase{numeral.Say(numeral.Sentence(strings.Join(said, ", ")))}
}

// Failures are what failed, the newest first.
type Failures struct{ Rows []failure }

type failure struct {
	What    string
	Of      []frame.Link // what it was: the run, or the part, and the version where the page is the vehicle's
	Date    *frame.Day
	Why     string
	Learned string
	day     notes.Date
	off     bool // a run that was broken off, by which nothing need have failed
}

// FailuresOf lists what failed in versions, runs that fell short among it; nil where nothing did.
func FailuresOf(s *frame.Sheet, versions []*journal.Version, ofVehicle bool) *Failures {
	out := &Failures{}
	for _, v := range versions {
		var of []frame.Link
		if ofVehicle {
			of = []frame.Link{{Words: "version " + reading.VersionNumber(v), Href: s.To(address.Version(v))}}
		}
		for i := range v.Failures {
			f := &v.Failures[i]
			row := failure{What: f.What.Text, Of: of, Date: frame.DayOf(f.Date), Why: f.Why.Text, Learned: f.Learned.Text, day: f.Date}
			if f.Part.Set {
				row.Of = append(slices.Clone(of), frame.Link{Words: f.Part.Text})
			}
			out.Rows = append(out.Rows, row)
		}
		for _, r := range v.Runs {
			if r.FellShort() {
				run := frame.Link{Words: cmp.Or(r.Name.Text, r.Slug), Href: s.To(address.Run(r))}
				out.Rows = append(out.Rows, failure{What: "A run " + strings.ToLower(r.EndHead()), Of: append(slices.Clone(of), run), Date: frame.DayOf(r.Date), Why: r.Ended.Text, Learned: r.Learned.Text, day: r.Date, off: r.Outcome.Value == journal.BrokenOff})
			}
		}
	}
	if len(out.Rows) == 0 {
		return nil
	}
	slices.SortStableFunc(out.Rows, func(a, b failure) int { return cmp.Compare(b.day.String(), a.day.String()) })
	return out
}

// Face is the line of its leaf.
func (f *Failures) Face() []numeral.Phrase {
	last := f.Rows[0]
	failed, off := 0, 0
	for _, row := range f.Rows {
		if row.off {
			off++
		} else {
			failed++
		}
	}
	var counts []string
	if failed > 0 {
		counts = append(counts, numeral.Count(failed, "failure"))
	}
	if off > 0 {
		counts = append(counts, numeral.Count(off, "run")+" broken off")
	}
	text := strings.Join(counts, ", ")
	if last.Date != nil {
		text += ", the last on " + last.Date.Long
	}
	return []numeral.Phrase{numeral.Say(text + ": " + numeral.Sentence(last.What))}
}

// Work is what was done to keep a vehicle running.
type Work struct {
	frame.Caption
	Counted bool // the hours run are stated
	Rows    []workRow
}

type workRow struct {
	Date  *frame.Day
	What  string
	Hours numeral.Numeral
	day   notes.Date
}

// WorkOf lists the maintenance of a vehicle, the newest first; nil where none is stated.
func WorkOf(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle) *Work {
	if len(v.Maintenance) == 0 {
		return nil
	}
	w := &Work{Caption: s.Table("maintenance", "What was done to keep it running, the newest first.")}
	for _, m := range v.Maintenance {
		w.Rows = append(w.Rows, workRow{Date: frame.DayOf(m.Date), What: m.What.Text, Hours: numeral.Stated(m.Hours), day: m.Date})
		w.Counted = w.Counted || m.Hours.Known()
	}
	slices.SortStableFunc(w.Rows, func(a, b workRow) int { return cmp.Compare(b.day.String(), a.day.String()) })
	return w
}

// Face is the line of its leaf.
func (w *Work) Face() []numeral.Phrase {
	last := w.Rows[0]
	out := []numeral.Phrase{numeral.Say(numeral.Sentence(last.What))}
	if last.Date != nil {
		out = []numeral.Phrase{numeral.Say("Last on " + last.Date.Long + ": " + numeral.Sentence(last.What))}
	}
	return out
}

// ToDoOf lists what is still to do; nil where nothing is.
func ToDoOf(lists ...[]notes.Word) []string {
	var out []string
	for _, list := range lists {
		for _, w := range list {
			if w.Text != "" {
				out = append(out, numeral.Sentence(w.Text))
			}
		}
	}
	return out
}

// ToDoFace is the line of the leaf of ToDoOf.
func ToDoFace(list []string) []numeral.Phrase {
	text := list[0]
	if more := len(list) - 1; more > 0 {
		text += fmt.Sprintf(" And %d more.", more)
	}
	return []numeral.Phrase{numeral.Say(text)}
}
