package reading

import (
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
)

// LatestOf is the version that stands for a vehicle now; see journal.Vehicle.Standing.
func LatestOf(v *journal.Vehicle) *journal.Version { return v.Standing() }

// RanOn says on which run and under what a time was measured: "field run to the cutout with 150 kg".
func (rd *Reader) RanOn(r *journal.Run) string {
	text := strings.ToLower(RunKind(r.Type.Value))
	if OpenedCutout(rd.Result(r)) != nil {
		text += " to the cutout"
	}
	if p := rd.Units(numeral.Stated(r.Conditions.Payload)); p.Set {
		text += " with " + p.Whole
	}
	return text
}

// NoteKinds are the kinds of note that stand beside the vehicles, in the order of the front page: a reader comes with a
// question.
var NoteKinds = []struct {
	One, Head, Folder string
	List              func(*journal.Journal) []*journal.NotePage
}{
	{"Question", "Questions", "questions", func(j *journal.Journal) []*journal.NotePage { return j.Questions }},
	{"Note", "Notes", "notes", func(j *journal.Journal) []*journal.NotePage { return j.Notes }},
	{"Correction", "Corrections", "corrections", func(j *journal.Journal) []*journal.NotePage { return j.Corrections }},
}

// NewestOfAll is the newest date that stands anywhere in the journal.
func (rd *Reader) NewestOfAll() notes.Date {
	var dates []notes.Date
	for _, v := range rd.Journal.Vehicles {
		dates = append(dates, DatesOf(v)...)
	}
	for _, kind := range NoteKinds {
		for _, n := range kind.List(rd.Journal) {
			dates = append(dates, n.Date)
		}
	}
	return frame.Newest(dates...)
}

// DatesOf are the dates of a vehicle's versions and runs.
func DatesOf(v *journal.Vehicle) []notes.Date {
	var dates []notes.Date
	for _, version := range v.Versions {
		dates = append(dates, version.Date)
		for _, r := range version.Runs {
			dates = append(dates, r.Date)
		}
	}
	return dates
}

// SheetWanted tells whether a question has a run sheet: where it is not measured yet, and where the maker states how to.
func SheetWanted(q *journal.Question) bool { return len(q.Runs) == 0 || q.Trial != nil }

// LastChanged is LastChange with the date as it is printed.
func (rd *Reader) LastChanged(s *frame.Sheet, n *journal.NotePage) (*frame.Day, numeral.Phrase) {
	date, by := rd.lastChange(s, n)
	return frame.DayOf(date), by
}

// lastChange is the newest date among the notes that bear on a question, its own and its corrections', and which it is.
func (rd *Reader) lastChange(s *frame.Sheet, n *journal.NotePage) (notes.Date, numeral.Phrase) {
	date, by := n.Date, numeral.Phrase{Text: "the question"}
	see := func(d notes.Date, p numeral.Phrase) {
		if d.Set && (!date.Set || d.Time().After(date.Time())) {
			date, by = d, p
		}
	}
	q := n.Question
	for _, v := range q.Concerned() {
		see(v.Date, numeral.Phrase{Text: numeral.MidSentence(VersionWords(v)), Href: s.To(address.Version(v))})
	}
	for _, r := range q.Runs {
		see(r.Date, numeral.Phrase{Text: numeral.MidSentence(RunWords(r)), Href: s.To(address.Run(r))})
	}
	for _, c := range rd.Journal.Corrections {
		for _, p := range c.Correction.Places() {
			if p.Page == n || p.Run != nil && slices.Contains(q.Runs, p.Run) || p.Run == nil && p.Version != nil && slices.Contains(q.Concerned(), p.Version) {
				see(c.Date, numeral.Phrase{Text: "the correction “" + c.Title.Text + "”", Href: s.To(address.Correction(c))})
			}
		}
	}
	return date, by
}

// PlainOpening is the first paragraph of a note as plain text, its numbers as the page prints them.
func (rd *Reader) PlainOpening(n *journal.NotePage) string {
	text, _ := rd.Values.Opening(journal.Place{Page: n})
	return text
}
