package runsheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/cautions"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// runSheetView is the view of the form that is taken to the field.
type runSheetView struct {
	Question   frame.Link
	Version    frame.Link
	Expect     []numeral.Phrase
	Conditions []blankRow
	Steps      []string
	Stop, Ends string
	Tools      []toolRow
	Columns    []string
	Rows       []string // the time of each, "" to be filled in
	After      string
	Cautions   []string
}

// blankRow is a condition: what it should be, and room for what it was.
type blankRow struct{ Label, Planned string }

// toolRow is an instrument: what it measures, and what was used for it before.
type toolRow struct{ Measures, Before, Accuracy string }

// usualRows is how many rows a run sheet has where the maker states nothing.
const usualRows = 20

// trialVersion is the version that a question is to be measured on; nil where none bears on it.
func trialVersion(q *journal.Question) *journal.Version {
	if q.Predicted.Version != nil {
		return q.Predicted.Version
	}
	if all := q.Concerned(); len(all) > 0 {
		return all[len(all)-1]
	}
	return nil
}

func trialType(q *journal.Question) journal.RunType {
	switch {
	case q.Trial != nil && q.Trial.Type.Set:
		return q.Trial.Type.Value
	case strings.HasPrefix(q.Predicted.Name, "charge-time/"):
		return journal.Charge
	}
	return journal.Field
}

func lay(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) error {
	q := n.Question
	trial := q.Trial
	if trial == nil {
		trial = &journal.Trial{}
	}
	version, kind := trialVersion(q), trialType(q)
	v := runSheetView{Question: frame.Link{Words: n.Title.Text, Href: s.To(address.Question(n))}, Ends: numeral.Sentence(trial.Ends.Text)}
	if num, words, ok := forecast.PredictionOf(rd, s, n); ok {
		v.Expect = append([]numeral.Phrase{numeral.Say("Computed beforehand: "), numeral.SayNumber(num), numeral.Say(", ")}, words...)
	}
	v.Conditions = planned(version, kind, trial)
	v.Steps = steps(kind)
	v.Stop = stopPlan(rd, version, kind, trial)
	var own []string
	if version != nil {
		v.Version = frame.Link{Words: version.Vehicle.Name.Text + ", " + numeral.MidSentence(reading.VersionWords(version)), Href: s.To(address.Version(version))}
		v.After = fmt.Sprintf("Write it up as a run beside version.md of %s: the rows under `readings:`, the stops under `conditions:`, and name the run under `bears:` of the question.", version.Path())
		v.Cautions = cautions.ForRiders(version)
		own = []string{version.Note.Path}
		if v.Ends == "" {
			v.Ends = endPlan(rd, version, kind)
		}
	}
	measures := trialMeasures(kind, trial)
	v.Columns = []string{"Time"}
	for _, m := range measures {
		v.Columns = append(v.Columns, numeral.Sentenceless(m.Label)+" in "+m.unit)
		v.Tools = append(v.Tools, toolBefore(version, kind, m))
	}
	v.Columns = append(v.Columns, "Remarks: stops, who got on or off")
	for i := range trial.Rows.Or(usualRows) {
		at := ""
		if trial.Every.Known() {
			step := quantity.Seconds(1)
			if math.Mod(float64(trial.Every.Value), 60) == 0 {
				step = 60
			}
			at = quantity.Clock(trial.Every.Value*quantity.Seconds(i), step)
		}
		v.Rows = append(v.Rows, at)
	}
	rd.Inspect(s, nil, own)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Run sheet", frame.DayOf(rd.ChangedOn(n)), "to be filled in"
	s.Marks, s.Body = true, v
	return nil
}

// planned lists the conditions: as the trial states them, else as the version does.
func planned(v *journal.Version, kind journal.RunType, t *journal.Trial) []blankRow {
	rows := []blankRow{{"Date and start", ""}, {"Who drives, who writes", ""}}
	add := func(label string, n numeral.Numeral) { rows = append(rows, blankRow{label, n.Whole}) }
	add("Temperature of the air", numeral.Stated(t.Conditions.Temperature))
	if kind == journal.Field || kind == journal.Bench {
		payload, surface, setting := numeral.Stated(t.Conditions.Payload), numeral.Words(numeral.Plain(t.Conditions.Surface)), numeral.Stated(t.Conditions.Setting)
		if v != nil && v.Masses != nil && !payload.Set && kind == journal.Field {
			payload = numeral.Stated(v.Masses.Payload)
		}
		if v != nil && v.Drive != nil && !surface.Set && kind == journal.Field {
			surface = numeral.Words(numeral.Plain(v.Drive.Surface))
		}
		if v != nil && v.Controller != nil && !setting.Set {
			setting = numeral.Stated(v.Controller.Setting)
		}
		add("Payload, weighed or counted", payload)
		add("Surface", surface)
		add("Setting of the controller", setting)
	}
	for _, stated := range []blankRow{{"Weather", t.Conditions.Weather.Text}, {"Track", t.Conditions.Track.Text}, {"People", t.Conditions.People.Text}, {"What else matters", t.Conditions.Note.Text}} {
		if stated.Planned != "" {
			rows = append(rows, stated)
		}
	}
	return append(rows, blankRow{"Voltage at rest before", ""})
}

// steps say how to go about a run. Common practice, no source.
func steps(kind journal.RunType) []string {
	switch kind {
	case journal.Charge:
		return []string{
			"Begin with the packs as the last run left them, and write down their voltage at rest.",
			"Start the clock when the charger begins. Someone stays with it.",
			"Write a row down at each time below, and one at the moment when the charger goes over from holding the current to holding the voltage.",
			"End when the charger says that it has finished. Write the time down.",
		}
	case journal.Rest:
		return []string{
			"Write down when the load was last on, and what is still connected.",
			"Write a row down at each time below. Do not switch anything on meanwhile.",
		}
	}
	out := []string{
		"Charge until the charger has finished, then let the packs stand for an hour with nothing on.",
		"Write the voltage at rest down. Start the clock when the load first comes on.",
		"Write a row down at each time below: first the time, then what the meters show while the load is on.",
		"Write every stop down when it begins and when it ends. Stop the clock for none of them.",
		"At the end write down the time, and what the meters showed last under load.",
		"Leave the load off and write the voltage down after 1 min, 5 min and 15 min.",
	}
	if kind == journal.Bench {
		out[3] = "Leave the load as it is. If it has to be touched, write down when and why."
	}
	return out
}

// stopPlan is the rule for stops: the trial's, else that of the vehicle's last run of the type.
func stopPlan(rd *reading.Reader, v *journal.Version, kind journal.RunType, t *journal.Trial) string {
	if kind != journal.Field && kind != journal.Bench {
		return ""
	}
	const rule = "A stop longer than %s is taken out whole, a shorter one stays in%s. Agree on it before you start."
	if t.PauseAfter.Known() {
		return fmt.Sprintf(rule, numeral.Stated(t.PauseAfter).Whole, "")
	}
	if v != nil {
		for _, version := range slices.Backward(v.Vehicle.Versions) {
			for _, r := range slices.Backward(version.Runs) {
				if r.Type.Value == kind && r.PauseAfter.Known() {
					return fmt.Sprintf(rule, numeral.Stated(r.PauseAfter).Whole, ", as on the "+numeral.MidSentence(reading.RunWords(r)))
				}
			}
		}
	}
	return "No rule for stops is stated yet. Agree on one before you start: how long a stop must be to be taken out whole."
}

// endPlan is what ends the run: the cutout, and a voltage at which a person ends it whatever the cutout does.
func endPlan(rd *reading.Reader, v *journal.Version, kind journal.RunType) string {
	if kind != journal.Field && kind != journal.Bench {
		return ""
	}
	var out []string
	if v.Cutout != nil && v.Cutout.Opens.Known() {
		out = append(out, fmt.Sprintf("End when the cutout opens; it is set to %s.", numeral.Stated(v.Cutout.Opens).Whole))
	}
	if a := rd.Answers(v); a != nil && a.Err == "" {
		for _, row := range a.Table.Cells {
			if len(row) > 0 && row[0].Err == "" && row[0].Conservative.Volts > 0 {
				out = append(out, fmt.Sprintf("End by hand at %s under load, whatever else has not happened: it is the conservative floor of the packs.", numeral.Rough(row[0].Conservative.Volts, "", "").Whole))
				break
			}
		}
	}
	if len(out) == 0 {
		return "Settle before you start at which voltage you end by hand, and keep to it."
	}
	return strings.Join(out, " ")
}

// trialMeasure is a column of the sheet.
type trialMeasure struct {
	Label, unit string
	is          journal.Measure
}

// sheetUnits are the units in which a person writes what a meter shows.
var sheetUnits = map[journal.Measure]string{"voltage": "V", "current": "A", "temperature": "°C", "speed": "km/h", "distance": "m", "power": "W", "time": "s"}

func trialMeasures(kind journal.RunType, t *journal.Trial) []trialMeasure {
	asked := []journal.Measure{"voltage", "current"}
	if kind == journal.Field {
		asked = append(asked, "distance")
	}
	if len(t.Measures) > 0 {
		asked = nil
		for _, m := range t.Measures {
			if m.Set {
				asked = append(asked, m.Value)
			}
		}
	}
	var out []trialMeasure
	for _, m := range asked {
		label := string(m)
		for _, o := range m.Options() {
			if o.Name == string(m) {
				label = o.Meaning
			}
		}
		out = append(out, trialMeasure{label, cmp.Or(sheetUnits[m], "…"), m})
	}
	return out
}

// toolBefore is the instrument that measured the same on the vehicle's last run of the type, else on its last run of any.
func toolBefore(v *journal.Version, kind journal.RunType, m trialMeasure) toolRow {
	row := toolRow{Measures: numeral.Sentenceless(m.Label)}
	if v == nil {
		return row
	}
	for _, any := range []bool{false, true} {
		for _, version := range slices.Backward(v.Vehicle.Versions) {
			for _, r := range slices.Backward(version.Runs) {
				for _, i := range r.Instruments {
					if i.Measures.Value == m.is && (any || r.Type.Value == kind) {
						row.Before, row.Accuracy = i.Name.Text, i.Accuracy.Written
						return row
					}
				}
			}
		}
	}
	return row
}
