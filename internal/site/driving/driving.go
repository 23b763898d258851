// Package driving prints how a version drives, and what runs say of it.
package driving

import (
	"fmt"
	"strings"

	"voltwright/internal/drive"
	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/reference"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/results"
	"voltwright/internal/site/spec"
)

// DrivingView is what a version's page says of how it drives.
type DrivingView struct {
	Why     string // why nothing is computed; all else is empty then
	Says    [][]numeral.Phrase
	Courses *courseTable
	Marks   []spec.Row // held motors, and the stop
	Held    string     // what sets the current of held motors
	Rolling []numeral.Phrase
	Dispute string
	Runs    [][]numeral.Phrase // what each run says of the speed and of the rolling coefficient
	Assumed []assumedRow
	Surface *surfaceTable
	Figures *results.Results
	Method  []frame.Link
}

// courseTable is the steady states, each group with one thing changed.
type courseTable struct {
	frame.Caption
	Heads  []frame.Link
	Across int // columns, the labels' one counted
	Span   int // without it
	Bodies []courseBody
}

type courseBody struct {
	Name, Words string
	Rows        []courseRow
}

type courseRow struct {
	Label string
	Own   bool // it is how the version stands
	Cells []numeral.Numeral
	Heads []string
	Why   string
}

type assumedRow struct{ What, Words, Basis string }

// surfaceTable is what is published for the ground.
type surfaceTable struct {
	frame.Caption
	Rows []surfaceRow
}

type surfaceRow struct {
	Title, Range, Source, Status string
	Taken                        bool
}

// drivingFigures are the figures that a version's page lists beside the table of courses.
var drivingFigures = []string{"setting-for-top-speed", "open-speed", "steepest-start", "stall-current", "stall-battery-current", "stall-time",
	"kinetic-energy", "stopping-distance", "stopping-distance-downhill"}

// Of is what a version's page says of its drive; nil where nothing was asked.
func Of(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *DrivingView {
	d := rd.Driven(v)
	if d == nil {
		return nil
	}
	if d.Err != "" {
		return &DrivingView{Why: numeral.OnPage(d.Err)}
	}
	f := &DrivingView{Says: drivingSays(rd, s, d)}
	if d.NoSpeed == "" {
		f.Courses = courses(rd, s, d)
		f.Rolling, f.Dispute = rollingSays(rd, s, d), numeral.OnPage(d.Rolling.Disputed)
		for _, r := range d.Runs {
			if line := runSays(rd, s, v, r); line != nil {
				f.Runs = append(f.Runs, line)
			}
		}
		f.Surface = surfaces(rd, s, d)
	}
	for _, name := range drivingFigures {
		x, _ := d.Figure(name)
		if q, ok := x.Quantity.Get(); ok {
			f.Marks = append(f.Marks, spec.Row{Label: x.Label, Cells: []spec.Cell{{Value: rd.Units(numeral.Printed(q, numeral.Computed, rd.FormulaLink(s, x.Formula)))}}})
		}
	}
	if d.Stall != nil {
		f.Held = numeral.OnPage(d.Stall.Words)
	}
	if d.LimitedByGrip {
		f.Held += " The steepest climb is set by the grip of dry rails, not by the motors."
	}
	for _, a := range d.Assumed {
		f.Assumed = append(f.Assumed, assumedRow{numeral.Sentenceless(a.What), numeral.OnPage(a.Words), basisOf(a.Status, a.Source)})
	}
	f.Figures = drivingTable(rd, s, d)
	for _, m := range []frame.Link{{Words: "how a version drives", Href: "version-drive"}, {Words: "the motor", Href: "motor-model"}, {Words: "what the way asks", Href: "road-load"},
		{Words: "the stop", Href: "stopping-distance"}, {Words: "held motors", Href: "stall-time"}, {Words: "the uncertainty", Href: "drive-uncertainty"}} {
		if m.Href = rd.FormulaLink(s, m.Href); m.Href != "" {
			f.Method = append(f.Method, m)
		}
	}
	s.Marks = true
	return f
}

// drivingSays is the answer: speed, current, heat, and what the hill does.
func drivingSays(rd *reading.Reader, s *frame.Sheet, d *drivetrain.Performance) [][]numeral.Phrase {
	if d.NoSpeed != "" {
		return [][]numeral.Phrase{{numeral.Say("How fast it goes cannot be said. " + numeral.OnPage(d.NoSpeed))}}
	}
	method := rd.FormulaLink(s, "version-drive")
	number := func(q quantity.Quantity) numeral.Phrase {
		n := rd.Units(numeral.Printed(q, numeral.Computed, method))
		n.Twin = "" // the table of figures has it; a sentence with both is not read
		return numeral.SayNumber(n)
	}
	set := func(c drivetrain.SteadyState) string {
		out := ""
		if c.Setting < 1 {
			out = "at its setting of " + quantity.Brief(c.Setting)
		}
		if c.Payload > 0 {
			if out != "" {
				out += ", "
			}
			out += "with " + quantity.Brief(c.Payload) + " aboard or behind"
		}
		return out
	}
	var out [][]numeral.Phrase
	way := "On the level"
	if g := d.Top.Grade; g != 0 {
		way = "On its usual way, " + g.String()
	}
	if !d.Top.HasSpeed() {
		out = append(out, []numeral.Phrase{numeral.Say(way + ", just charged: " + numeral.MidSentence(numeral.OnPage(d.Top.Words+d.Top.Err)))})
	} else {
		line := []numeral.Phrase{numeral.Say(way + " "), number(d.Top.Speed.Quantity()), numeral.Say(" just charged")}
		if words := set(d.Top); words != "" {
			line = append(line, numeral.Say(", "+words))
		}
		if d.Cruise.HasSpeed() {
			line = append(line, numeral.Say("; at the nominal voltage "), number(d.Cruise.Speed.Quantity()), numeral.Say(". Then the battery gives "), number(d.Cruise.BatteryCurrent.Quantity()),
				numeral.Say(motorWords(d.Motors)), number(d.Cruise.MotorCurrent.Quantity()), numeral.Say(", "), number(d.Cruise.Efficiency.Quantity()), numeral.Say(" of the power reaches the rim and the motors turn "),
				number(d.Cruise.MotorHeat.Quantity()), numeral.Say(" into heat"))
		}
		out = append(out, append(line, numeral.Say(".")))
	}
	if c := d.Hill; c != nil {
		line := []numeral.Phrase{numeral.Say(numeral.Sentenceless(c.Label) + " ")}
		if !c.HasSpeed() {
			line = append(line, numeral.Say(numeral.MidSentence(numeral.OnPage(c.Words+c.Err))))
		} else {
			line = append(line, numeral.Say("it keeps "), number(c.Speed.Quantity()), numeral.Say(" with "), number(c.BatteryCurrent.Quantity()), numeral.Say(" from the battery and "), number(c.MotorCurrent.Quantity()), numeral.Say(inEach(d.Motors)))
			if r := d.RatedCurrent; r.Known() {
				word := ", within the "
				switch over := c.MotorCurrent.Value - r.Value; {
				case max(over, -over) <= c.MotorCurrent.Expanded():
					word = ", about the "
				case over > 0:
					word = ", more than the "
				}
				line = append(line, numeral.Say(word), numeral.SayNumber(numeral.Printed(r.Quantity(), numeral.Quoted, "")), numeral.Say(" that it is rated for"))
			}
			line = append(line, numeral.Say("."))
		}
		out = append(out, line)
	}
	if w := d.Wanted; w != nil {
		text := w.Err
		if text == "" {
			text = w.Words
		}
		out = append(out, []numeral.Phrase{numeral.Say(numeral.OnPage(text))})
	}
	return out
}

func motorWords(n int) string {
	if n == 1 {
		return ", the motor carries "
	}
	return ", each motor carries "
}

func inEach(n int) string {
	if n == 1 {
		return " in the motor"
	}
	return " in each motor"
}

// courses is the table of steady states.
func courses(rd *reading.Reader, s *frame.Sheet, d *drivetrain.Performance) *courseTable {
	t := &courseTable{Caption: s.Table("driving", "How it drives, computed: one thing changed at a time. At the nominal voltage, at the version's own setting and payload and on the level, where the row does not say otherwise.")}
	t.Heads = []frame.Link{{Words: "Speed in km/h", Href: "operating-point"}, {Words: "Battery in A", Href: "controller-duty"}, {Words: "Each motor in A", Href: "motor-model"},
		{Words: "Heat in W", Href: "motor-model"}, {Words: "Wh/km", Href: "version-drive"}}
	for i := range t.Heads {
		t.Heads[i].Href = rd.FormulaLink(s, t.Heads[i].Href)
	}
	t.Span = 2 * len(t.Heads)
	t.Across = 1 + t.Span
	body := func(name, words string, own func(drivetrain.SteadyState) bool, list ...drivetrain.SteadyState) {
		if len(list) == 0 {
			return
		}
		out := courseBody{Name: name, Words: words}
		for _, c := range list {
			out.Rows = append(out.Rows, courseOf(c, own(c)))
		}
		t.Bodies = append(t.Bodies, out)
	}
	never := func(drivetrain.SteadyState) bool { return false }
	body("By the battery", "the voltage at rest; where the cutout opens, at the terminals", func(c drivetrain.SteadyState) bool { return c.Name == "nominal" }, named(d.ByVoltage)...)
	if d.Hill != nil {
		body("On the steepest climb", "", never, named([]drivetrain.SteadyState{*d.Hill})...)
	}
	body("By the setting", "", func(c drivetrain.SteadyState) bool { return c.Setting == d.Setting }, named(d.BySetting)...)
	body("By the payload", "", func(c drivetrain.SteadyState) bool { return c.Payload == d.Cruise.Payload }, named(d.ByPayload)...)
	var columns [5][]*numeral.Numeral
	for i := range t.Bodies {
		for j := range t.Bodies[i].Rows {
			for k := range t.Bodies[i].Rows[j].Cells {
				columns[k] = append(columns[k], &t.Bodies[i].Rows[j].Cells[k])
			}
		}
	}
	for _, c := range columns {
		numeral.Align(c)
	}
	return t
}

// named gives courses the labels of a table's rows.
func named(list []drivetrain.SteadyState) []drivetrain.SteadyState {
	out := make([]drivetrain.SteadyState, len(list))
	for i, c := range list {
		c.Label = numeral.Sentenceless(c.Label)
		if i := strings.Index(c.Name, "-"); i < 0 && c.Name != "hill" && c.Name != "open" {
			c.Label += ", " + quantity.Brief(c.Volts)
		}
		out[i] = c
	}
	return out
}

func courseOf(c drivetrain.SteadyState, own bool) courseRow {
	row := courseRow{Label: numeral.OnPage(c.Label), Own: own}
	if !c.HasSpeed() {
		row.Why = numeral.OnPage(c.Words + c.Err)
		return row
	}
	add := func(head, unit string, q quantity.Quantity) {
		row.Cells, row.Heads = append(row.Cells, numeral.PrintedIn(q, unit, numeral.Computed, "")), append(row.Heads, head)
	}
	add("km/h", "km/h", c.Speed.Quantity())
	add("battery A", "A", c.BatteryCurrent.Quantity())
	add("motor A", "A", c.MotorCurrent.Quantity())
	add("heat W", "W", c.MotorHeat.Quantity())
	add("Wh/km", "Wh/km", c.PerDistance.Quantity())
	return row
}

// rollingSays tells what rolling coefficient is computed with.
func rollingSays(rd *reading.Reader, s *frame.Sheet, d *drivetrain.Performance) []numeral.Phrase {
	r := d.Rolling
	k, href := numeral.Computed, rd.FormulaLink(s, "rolling-coefficient")
	if r.Stated {
		k, href = numeral.Quoted, ""
	}
	out := []numeral.Phrase{numeral.Say("Rolling coefficient taken: "), numeral.SayNumber(numeral.Printed(r.Taken.Quantity(), k, href))}
	if r.Stated {
		return append(out, numeral.Say(", "+r.Source+"."))
	}
	return append(out, numeral.Say(", the middle of "+numeral.OnPage(r.Words)+" ("+basisOf(r.Status, r.Source)+")."))
}

// basisOf is a status with its source; a source that begins with the status says it already.
func basisOf(status reference.Status, source string) string {
	if strings.HasPrefix(source, string(status)) {
		return source
	}
	return string(status) + "; " + source
}

// runSays tells what a run says of the speed that is computed for it.
func runSays(rd *reading.Reader, s *frame.Sheet, v *journal.Version, r drivetrain.SpeedComparison) []numeral.Phrase {
	if r.Err != "" {
		return nil
	}
	to := rd.RunLink(s, v, r.Run)
	line := []numeral.Phrase{{Text: to.Words, Href: to.Href}, numeral.Say(": ")}
	said := false
	add := func(what string, m quantity.Measured[quantity.MetresPerSecond]) {
		if m.Known() {
			if said {
				line = append(line, numeral.Say(", "))
			}
			line, said = append(line, numeral.Say(what+" "), numeral.SayNumber(rd.Units(numeral.Printed(m.Quantity(), numeral.Measured, to.Href)))), true
		}
	}
	add("top", r.Top.Measured)
	add("mean", r.Mean.Measured)
	if said {
		line = append(line, numeral.Say(" measured, "), numeral.SayNumber(rd.Units(numeral.Printed(r.Predicted.Quantity(), numeral.Computed, rd.FormulaLink(s, "speed-check")))), numeral.Say(" predicted. "))
	}
	if r.Implied.Known() {
		line, said = append(line, numeral.Say("Its energy for the distance comes to a rolling coefficient of "), numeral.SayNumber(numeral.Printed(r.Implied.Quantity(), numeral.Computed, rd.FormulaLink(s, "implied-rolling"))), numeral.Say(", starts and halts in it.")), true
	}
	if !said {
		return nil
	}
	return line
}

// surfaces is what is published for the ground, where that is computed with.
func surfaces(rd *reading.Reader, s *frame.Sheet, d *drivetrain.Performance) *surfaceTable {
	if len(d.Rolling.Rows) == 0 || d.Rolling.Stated {
		return nil
	}
	t := &surfaceTable{Caption: s.Table("surface", "Rolling coefficients that are published for this ground, force over weight.")}
	for _, r := range d.Rolling.Rows {
		row := surfaceRow{Title: numeral.Sentenceless(r.Title), Range: rangeOf(r), Source: r.Source, Status: string(r.Status)}
		row.Taken = strings.Contains(d.Rolling.Words, r.Title)
		t.Rows = append(t.Rows, row)
	}
	return t
}

func rangeOf(r drive.Surface) string {
	if r.Low == r.High {
		return fmt.Sprintf("%.3g", r.Low)
	}
	return fmt.Sprintf("%.3g to %.3g", r.Low, r.High)
}

// drivingTable is every figure of a drive under its fixed name, with the reason where there is none.
func drivingTable(rd *reading.Reader, s *frame.Sheet, d *drivetrain.Performance) *results.Results {
	t := &results.Results{Caption: s.Table("drive-figures", "Every figure of the drive.")}
	var column []*numeral.Numeral
	formula := ""
	for _, f := range d.Figures() {
		row := results.ResultRow{Anchor: address.DrivingAnchor(f.Name), Label: f.Label}
		if f.Formula != formula { // a row without a link goes by that of the row before
			row.Method = rd.MethodLink(s, finding.FormulaDoc, f.Formula)
		}
		formula = f.Formula
		if q, ok := f.Quantity.Get(); ok {
			row.Value = rd.Units(numeral.Printed(q, numeral.Computed, ""))
			if f.Name == "rolling-coefficient" && d.Rolling.Stated {
				row.Value.Kind = numeral.Quoted
			}
		}
		if !row.Value.Set {
			t.Miss(row, numeral.OnPage(f.Quantity.Why()))
			continue
		}
		if row.Value.Twin != "" {
			t.Twins = rd.Twins()
		}
		t.Rows = append(t.Rows, row)
	}
	for i := range t.Rows {
		column = append(column, &t.Rows[i].Value)
	}
	numeral.Align(column)
	return t
}

// SpeedView sets a run's speed against the one that is computed for it.
type SpeedView struct {
	Why     string
	Rows    []spec.Row
	Verdict []string
	Implied []string
	Method  []frame.Link
}

// Speed is the comparison that a run's page shows; nil where nothing was asked or nothing moved.
func Speed(rd *reading.Reader, s *frame.Sheet, r *journal.Run) *SpeedView {
	d := rd.Driven(r.Version)
	if d == nil || !reading.Moves(r) {
		return nil
	}
	if d.Err != "" || d.NoSpeed != "" {
		if r.Type.Value != journal.Field {
			return nil
		}
		return &SpeedView{Why: numeral.OnPage(d.Err + d.NoSpeed)}
	}
	for _, c := range d.Runs {
		if c.Run != string(r.ID()) {
			continue
		}
		if c.Err != "" {
			if r.Type.Value != journal.Field {
				return nil
			}
			return &SpeedView{Why: numeral.OnPage(c.Err)}
		}
		return speedOf(rd, s, c)
	}
	return nil
}

func speedOf(rd *reading.Reader, s *frame.Sheet, c drivetrain.SpeedComparison) *SpeedView {
	v := &SpeedView{}
	method := rd.FormulaLink(s, "speed-check")
	add := func(label string, n numeral.Numeral) {
		if n.Set {
			v.Rows = append(v.Rows, spec.Row{Label: label, Cells: []spec.Cell{{Value: rd.Units(n)}}})
		}
	}
	row := func(label, figure string, q quantity.Quantity) {
		add(label, numeral.Printed(q, numeral.Measured, "#"+address.ResultAnchor(figure)))
	}
	under := "at " + quantity.Brief(c.Payload)
	if c.Setting < 1 {
		under += ", " + quantity.Brief(c.Setting)
	}
	if c.Volts.Known() {
		under += ", " + c.Volts.String() + " at the battery"
	}
	add("Steady speed predicted, "+numeral.OnPage(under), numeral.Printed(c.Predicted.Quantity(), numeral.Computed, method))
	row("Top speed measured", "top-speed", c.Top.Measured.Quantity())
	add("Top speed off the prediction by", numeral.Signed(c.Top.Off, method))
	row("Mean speed measured", "mean-speed", c.Mean.Measured.Quantity())
	add("Mean speed off the prediction by", numeral.Signed(c.Mean.Off, method))
	add("Energy for the distance predicted", numeral.Printed(c.Energy.Quantity(), numeral.Computed, method))
	row("Energy for the distance measured", "energy-per-distance", c.PerDistance.Measured.Quantity())
	add("Rolling coefficient that it comes to", numeral.Printed(c.Implied.Quantity(), numeral.Computed, rd.FormulaLink(s, "implied-rolling")))
	for _, text := range []string{c.Top.Words, c.Mean.Words, c.PerDistance.Words} {
		if text != "" {
			v.Verdict = append(v.Verdict, numeral.OnPage(text))
		}
	}
	for _, text := range []string{c.ImpliedWords, c.ImpliedWhy} {
		if text != "" {
			v.Implied = append(v.Implied, numeral.OnPage(text))
		}
	}
	for _, m := range []frame.Link{{Words: "how a speed is checked", Href: "speed-check"}, {Words: "the coefficient that a run implies", Href: "implied-rolling"}} {
		if m.Href = rd.FormulaLink(s, m.Href); m.Href != "" {
			v.Method = append(v.Method, m)
		}
	}
	return v
}
