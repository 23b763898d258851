package journal

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/outgoing"
	"voltwright/internal/quantity"
)

// Maintenance is a piece of work that keeps a vehicle running and changes nothing of its spec.
type Maintenance struct {
	Date  notes.Date                    `key:"date,required"`
	What  notes.Word                    `key:"what,required"`
	Hours notes.Value[quantity.Seconds] `key:"hours-run"` // of the vehicle until then, as its counter or its maker has it

	Span finding.Span `key:"@"`
}

// Failure is something that failed in a version.
type Failure struct {
	Date    notes.Date `key:"date,required"`
	Part    notes.Word `key:"part"` // that failed
	What    notes.Word `key:"what,required"`
	Why     notes.Word `key:"why"`
	Learned notes.Word `key:"learned"`

	Span finding.Span `key:"@"`
}

// Outcome says whether a run came to the end that it was made for.
type Outcome string

// The outcomes. A run without one came to its end.
const (
	Finished  Outcome = "finished"
	BrokenOff Outcome = "broken-off"
	Failed    Outcome = "failed"
)

// Options lists the words.
func (Outcome) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Finished), Meaning: "it came to the end that it was made for"},
		{Name: string(BrokenOff), Meaning: "somebody or the weather ended it before"},
		{Name: string(Failed), Meaning: "something of the vehicle or of the measuring failed"},
	}
}

// FellShort tells whether a run did not come to the end that it was made for.
func (r *Run) FellShort() bool {
	return r.Outcome.Value == BrokenOff || r.Outcome.Value == Failed
}

// EndHead is what stands before the colon where it is said what ended a run.
func (r *Run) EndHead() string {
	switch r.Outcome.Value {
	case BrokenOff:
		return "Broken off"
	case Failed:
		return "Failed"
	}
	return "Ended"
}

// EndClause says how a run ended, for the middle of a sentence: "ended: dinner", "failed: the fuse blew"; "" where nothing is stated.
func (r *Run) EndClause() string {
	why := strings.TrimSuffix(r.Ended.Text, ".")
	switch {
	case why != "":
		return strings.ToLower(r.EndHead()) + ": " + why
	case r.FellShort():
		return strings.ToLower(r.EndHead())
	}
	return ""
}

// EndWords is what ended a run, for a table whose head says so: the words alone, behind the outcome where it fell short.
func (r *Run) EndWords() string {
	if r.FellShort() {
		return r.EndClause()
	}
	return r.Ended.Text
}

// TrackWidth is how far apart the wheels stand: as the drive states it, else the gauge of the vehicle's line, which is not more, as wheels
// stand on the heads of the rails.
func (v *Version) TrackWidth() notes.Value[quantity.Metres] {
	if v.Drive != nil && v.Drive.TrackWidth.Set {
		return v.Drive.TrackWidth
	}
	return v.Vehicle.Gauge
}

// oldest is the year of the first electric vehicles, before which none was built (from memory).
const oldest = 1830

func (l *loader) checkVehicle(v *Vehicle) {
	if y := v.Year; y.Set && (y.Value < oldest || y.Value > 9999) {
		l.add(finding.Error, notes.RuleImpossibleValue, y.Span, fmt.Sprintf("`year`: %d cannot be", y.Value), "write the year in which the vehicle was built, such as 2019.")
	}
	if s := v.Seats; s.Set && s.Value < 0 {
		l.add(finding.Error, notes.RuleImpossibleValue, s.Span, fmt.Sprintf("`seats`: %d cannot be: it must be 0 or more", s.Value), "write how many people sit on it.")
	}
	if len(outgoing.Positions("position: "+v.RunsAt.Text)) > 0 { // said to be one, it is seen in fewer places
		l.add(finding.Error, notes.RuleImpossibleValue, v.RunsAt.Span, "`runs-at` is a position on the map, which does not go online", "name the line or the ground in words, as much or as little as you want to tell.")
	}
	positive(l, "gauge", v.Gauge)
	for _, m := range v.Maintenance {
		notNegative(l, "hours-run", m.Hours)
	}
}
