package site

import (
	"fmt"
	"strings"

	"voltwright/internal/drive"
	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

// drivingView is what a version's page says of how it drives.
type drivingView struct {
	Why     string // why nothing is computed; all else is empty then
	Says    [][]phrase
	Courses *courseTable
	Marks   []specRow // held motors, and the stop
	Held    string    // what sets the current of held motors
	Rolling []phrase
	Dispute string
	Runs    [][]phrase // what each run says of the speed and of the rolling coefficient
	Assumed []assumedRow
	Surface *surfaceTable
	Figures *resultsTable
	Method  []link
}

// courseTable is the steady states, each group with one thing changed.
type courseTable struct {
	caption
	Heads  []link
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
	Cells []numeral
	Heads []string
	Why   string
}

type assumedRow struct{ What, Words, Basis string }

// surfaceTable is what is published for the ground.
type surfaceTable struct {
	caption
	Rows []surfaceRow
}

type surfaceRow struct {
	Title, Range, Source, Status string
	Taken                        bool
}

// drivingFigures are the figures that a version's page lists beside the table of courses.
var drivingFigures = []string{"setting-for-top-speed", "open-speed", "steepest-start", "stall-current", "stall-battery-current", "stall-time",
	"kinetic-energy", "stopping-distance", "stopping-distance-downhill"}

// driven is how a version drives, nil where it states nothing of a drive.
func (b *builder) driven(v *journal.Version) *drivetrain.Performance {
	if b.in.Results == nil {
		return nil
	}
	return b.in.Results.Drives[v.Path()]
}

// drivingAnchor is the anchor of a figure of a drive on the version's page.
func drivingAnchor(figure string) string { return "d-" + figure }

// driving is what a version's page says of its drive; nil where nothing was asked.
func (b *builder) driving(s *sheet, v *journal.Version) *drivingView {
	d := b.driven(v)
	if d == nil {
		return nil
	}
	if d.Err != "" {
		return &drivingView{Why: onPage(d.Err)}
	}
	f := &drivingView{Says: b.drivingSays(s, d)}
	if d.NoSpeed == "" {
		f.Courses = b.courses(s, d)
		f.Rolling, f.Dispute = b.rollingSays(s, d), onPage(d.Rolling.Disputed)
		for _, r := range d.Runs {
			if line := b.runSays(s, v, r); line != nil {
				f.Runs = append(f.Runs, line)
			}
		}
		f.Surface = b.surfaces(s, d)
	}
	for _, name := range drivingFigures {
		x, _ := d.Figure(name)
		if n := b.units(printed(x.Quantity, computed, b.formulaLink(s, x.Formula))); n.Set {
			f.Marks = append(f.Marks, specRow{Label: x.Label, Cells: []specCell{{Value: n}}})
		}
	}
	if d.Stall != nil {
		f.Held = onPage(d.Stall.Words)
	}
	if d.LimitedByGrip {
		f.Held += " The steepest climb is set by the grip of dry rails, not by the motors."
	}
	for _, a := range d.Assumed {
		f.Assumed = append(f.Assumed, assumedRow{sentenceless(a.What), onPage(a.Words), basisOf(a.Status, a.Source)})
	}
	f.Figures = b.drivingTable(s, d)
	for _, m := range []link{{Words: "how a version drives", Href: "version-drive"}, {Words: "the motor", Href: "motor-model"}, {Words: "what the way asks", Href: "road-load"},
		{Words: "the stop", Href: "stopping-distance"}, {Words: "held motors", Href: "stall-time"}, {Words: "the uncertainty", Href: "drive-uncertainty"}} {
		if m.Href = b.formulaLink(s, m.Href); m.Href != "" {
			f.Method = append(f.Method, m)
		}
	}
	s.Marks = true
	return f
}

// drivingSays is the answer: speed, current, heat, and what the hill does.
func (b *builder) drivingSays(s *sheet, d *drivetrain.Performance) [][]phrase {
	if d.NoSpeed != "" {
		return [][]phrase{{say("How fast it goes cannot be said. " + onPage(d.NoSpeed))}}
	}
	method := b.formulaLink(s, "version-drive")
	number := func(q quantity.Quantity) phrase {
		n := b.units(printed(q, computed, method))
		n.Twin = "" // the table of figures has it; a sentence with both is not read
		return sayNumber(n)
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
	var out [][]phrase
	way := "On the level"
	if g := d.Top.Grade; g != 0 {
		way = "On its usual way, " + g.String()
	}
	if !d.Top.HasSpeed() {
		out = append(out, []phrase{say(way + ", just charged: " + midSentence(onPage(d.Top.Words+d.Top.Err)))})
	} else {
		line := []phrase{say(way + " "), number(d.Top.Speed.Quantity()), say(" just charged")}
		if words := set(d.Top); words != "" {
			line = append(line, say(", "+words))
		}
		if d.Cruise.HasSpeed() {
			line = append(line, say("; at the nominal voltage "), number(d.Cruise.Speed.Quantity()), say(". Then the battery gives "), number(d.Cruise.BatteryCurrent.Quantity()),
				say(motorWords(d.Motors)), number(d.Cruise.MotorCurrent.Quantity()), say(", "), number(d.Cruise.Efficiency.Quantity()), say(" of the power reaches the rim and the motors turn "),
				number(d.Cruise.MotorHeat.Quantity()), say(" into heat"))
		}
		out = append(out, append(line, say(".")))
	}
	if c := d.Hill; c != nil {
		line := []phrase{say(sentenceless(c.Label) + " ")}
		if !c.HasSpeed() {
			line = append(line, say(midSentence(onPage(c.Words+c.Err))))
		} else {
			line = append(line, say("it keeps "), number(c.Speed.Quantity()), say(" with "), number(c.BatteryCurrent.Quantity()), say(" from the battery and "), number(c.MotorCurrent.Quantity()), say(inEach(d.Motors)))
			if r := d.RatedCurrent; r.Known() {
				word := ", within the "
				switch over := c.MotorCurrent.Value - r.Value; {
				case max(over, -over) <= c.MotorCurrent.Expanded():
					word = ", about the "
				case over > 0:
					word = ", more than the "
				}
				line = append(line, say(word), sayNumber(printed(r.Quantity(), quoted, "")), say(" that it is rated for"))
			}
			line = append(line, say("."))
		}
		out = append(out, line)
	}
	if w := d.Wanted; w != nil {
		text := w.Err
		if text == "" {
			text = w.Words
		}
		out = append(out, []phrase{say(onPage(text))})
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
func (b *builder) courses(s *sheet, d *drivetrain.Performance) *courseTable {
	t := &courseTable{caption: s.table("driving", "How it drives, computed: one thing changed at a time. At the nominal voltage, at the version's own setting and payload and on the level, where the row does not say otherwise.")}
	t.Heads = []link{{Words: "Speed in km/h", Href: "operating-point"}, {Words: "Battery in A", Href: "controller-duty"}, {Words: "Each motor in A", Href: "motor-model"},
		{Words: "Heat in W", Href: "motor-model"}, {Words: "Wh/km", Href: "version-drive"}}
	for i := range t.Heads {
		t.Heads[i].Href = b.formulaLink(s, t.Heads[i].Href)
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
	var columns [5][]*numeral
	for i := range t.Bodies {
		for j := range t.Bodies[i].Rows {
			for k := range t.Bodies[i].Rows[j].Cells {
				columns[k] = append(columns[k], &t.Bodies[i].Rows[j].Cells[k])
			}
		}
	}
	for _, c := range columns {
		align(c)
	}
	return t
}

// named gives courses the labels of a table's rows.
func named(list []drivetrain.SteadyState) []drivetrain.SteadyState {
	out := make([]drivetrain.SteadyState, len(list))
	for i, c := range list {
		c.Label = sentenceless(c.Label)
		if i := strings.Index(c.Name, "-"); i < 0 && c.Name != "hill" && c.Name != "open" {
			c.Label += ", " + quantity.Brief(c.Volts)
		}
		out[i] = c
	}
	return out
}

func courseOf(c drivetrain.SteadyState, own bool) courseRow {
	row := courseRow{Label: onPage(c.Label), Own: own}
	if !c.HasSpeed() {
		row.Why = onPage(c.Words + c.Err)
		return row
	}
	add := func(head, unit string, q quantity.Quantity) {
		row.Cells, row.Heads = append(row.Cells, printedIn(q, unit, computed, "")), append(row.Heads, head)
	}
	add("km/h", "km/h", c.Speed.Quantity())
	add("battery A", "A", c.BatteryCurrent.Quantity())
	add("motor A", "A", c.MotorCurrent.Quantity())
	add("heat W", "W", c.MotorHeat.Quantity())
	add("Wh/km", "Wh/km", c.PerDistance.Quantity())
	return row
}

// rollingSays tells what rolling coefficient is computed with.
func (b *builder) rollingSays(s *sheet, d *drivetrain.Performance) []phrase {
	r := d.Rolling
	k, href := computed, b.formulaLink(s, "rolling-coefficient")
	if r.Stated {
		k, href = quoted, ""
	}
	out := []phrase{say("Rolling coefficient taken: "), sayNumber(printed(r.Taken.Quantity(), k, href))}
	if r.Stated {
		return append(out, say(", "+r.Source+"."))
	}
	return append(out, say(", the middle of "+onPage(r.Words)+" ("+basisOf(r.Status, r.Source)+")."))
}

// basisOf is a status with its source; a source that begins with the status says it already.
func basisOf(status reference.Status, source string) string {
	if strings.HasPrefix(source, string(status)) {
		return source
	}
	return string(status) + "; " + source
}

// runSays tells what a run says of the speed that is computed for it.
func (b *builder) runSays(s *sheet, v *journal.Version, r drivetrain.SpeedComparison) []phrase {
	if r.Err != "" {
		return nil
	}
	to := b.runLink(s, v, r.Run)
	line := []phrase{{Text: to.Words, Href: to.Href}, say(": ")}
	said := false
	add := func(what string, m quantity.Measured[quantity.MetresPerSecond]) {
		if m.Known() {
			if said {
				line = append(line, say(", "))
			}
			line, said = append(line, say(what+" "), sayNumber(b.units(printed(m.Quantity(), measured, to.Href)))), true
		}
	}
	add("top", r.Top.Measured)
	add("mean", r.Mean.Measured)
	if said {
		line = append(line, say(" measured, "), sayNumber(b.units(printed(r.Predicted.Quantity(), computed, b.formulaLink(s, "speed-check")))), say(" predicted. "))
	}
	if r.Implied.Known() {
		line, said = append(line, say("Its energy for the distance comes to a rolling coefficient of "), sayNumber(printed(r.Implied.Quantity(), computed, b.formulaLink(s, "implied-rolling"))), say(", starts and halts in it.")), true
	}
	if !said {
		return nil
	}
	return line
}

// surfaces is what is published for the ground, where that is computed with.
func (b *builder) surfaces(s *sheet, d *drivetrain.Performance) *surfaceTable {
	if len(d.Rolling.Rows) == 0 || d.Rolling.Stated {
		return nil
	}
	t := &surfaceTable{caption: s.table("surface", "Rolling coefficients that are published for this ground, force over weight.")}
	for _, r := range d.Rolling.Rows {
		row := surfaceRow{Title: sentenceless(r.Title), Range: rangeOf(r), Source: r.Source, Status: string(r.Status)}
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
func (b *builder) drivingTable(s *sheet, d *drivetrain.Performance) *resultsTable {
	t := &resultsTable{caption: s.table("drive-figures", "Every figure of the drive.")}
	var column []*numeral
	formula := ""
	for _, f := range d.Figures() {
		row := resultRow{Anchor: drivingAnchor(f.Name), Label: f.Label}
		if f.Formula != formula { // a row without a link goes by that of the row before
			row.Method = b.methodLink(s, finding.FormulaDoc, f.Formula)
		}
		formula = f.Formula
		if f.Missing == "" {
			row.Value = b.units(printed(f.Quantity, computed, ""))
			if f.Name == "rolling-coefficient" && d.Rolling.Stated {
				row.Value.Kind = quoted
			}
		}
		if !row.Value.Set {
			t.miss(row, onPage(or(f.Missing, "It could not be computed.")))
			continue
		}
		if row.Value.Twin != "" {
			t.Twins = b.twins()
		}
		t.Rows = append(t.Rows, row)
	}
	for i := range t.Rows {
		column = append(column, &t.Rows[i].Value)
	}
	align(column)
	return t
}

// speedView sets a run's speed against the one that is computed for it.
type speedView struct {
	Why     string
	Rows    []specRow
	Verdict []string
	Implied []string
	Method  []link
}

// speed is the comparison that a run's page shows; nil where nothing was asked or nothing moved.
func (b *builder) speed(s *sheet, r *journal.Run) *speedView {
	d := b.driven(r.Version)
	if d == nil || !moves(r) {
		return nil
	}
	if d.Err != "" || d.NoSpeed != "" {
		if r.Type.Value != journal.Field {
			return nil
		}
		return &speedView{Why: onPage(d.Err + d.NoSpeed)}
	}
	for _, c := range d.Runs {
		if c.Run != string(r.ID()) {
			continue
		}
		if c.Err != "" {
			if r.Type.Value != journal.Field {
				return nil
			}
			return &speedView{Why: onPage(c.Err)}
		}
		return b.speedOf(s, c)
	}
	return nil
}

func (b *builder) speedOf(s *sheet, c drivetrain.SpeedComparison) *speedView {
	v := &speedView{}
	method := b.formulaLink(s, "speed-check")
	add := func(label string, n numeral) {
		if n.Set {
			v.Rows = append(v.Rows, specRow{Label: label, Cells: []specCell{{Value: b.units(n)}}})
		}
	}
	row := func(label, figure string, q quantity.Quantity) {
		add(label, printed(q, measured, "#"+resultAnchor(figure)))
	}
	under := "at " + quantity.Brief(c.Payload)
	if c.Setting < 1 {
		under += ", " + quantity.Brief(c.Setting)
	}
	if c.Volts.Known() {
		under += ", " + c.Volts.String() + " at the battery"
	}
	add("Steady speed predicted, "+onPage(under), printed(c.Predicted.Quantity(), computed, method))
	row("Top speed measured", "top-speed", c.Top.Measured.Quantity())
	add("Top speed off the prediction by", signed(c.Top.Off, method))
	row("Mean speed measured", "mean-speed", c.Mean.Measured.Quantity())
	add("Mean speed off the prediction by", signed(c.Mean.Off, method))
	add("Energy for the distance predicted", printed(c.Energy.Quantity(), computed, method))
	row("Energy for the distance measured", "energy-per-distance", c.PerDistance.Measured.Quantity())
	add("Rolling coefficient that it comes to", printed(c.Implied.Quantity(), computed, b.formulaLink(s, "implied-rolling")))
	for _, text := range []string{c.Top.Words, c.Mean.Words, c.PerDistance.Words} {
		if text != "" {
			v.Verdict = append(v.Verdict, onPage(text))
		}
	}
	for _, text := range []string{c.ImpliedWords, c.ImpliedWhy} {
		if text != "" {
			v.Implied = append(v.Implied, onPage(text))
		}
	}
	for _, m := range []link{{Words: "how a speed is checked", Href: "speed-check"}, {Words: "the coefficient that a run implies", Href: "implied-rolling"}} {
		if m.Href = b.formulaLink(s, m.Href); m.Href != "" {
			v.Method = append(v.Method, m)
		}
	}
	return v
}
