package run

import (
	"fmt"
	"html/template"
	"math"
	"path"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/charts"
	"voltwright/internal/site/driving"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/linked"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/results"
	"voltwright/internal/site/spec"
)

// runView is the view of a run's page.
type runView struct {
	Kind        string
	Version     frame.Link
	Date        *frame.Day
	Answer      *answer.Answer
	First       *charts.ChartView   // the one that says how it went
	Charts      []*charts.ChartView // the others
	Leaves      frame.Leaves
	Results     *results.Results
	Prediction  *predictionView
	Speed       *driving.SpeedView
	Stops       *stopTable
	Method      []spec.Row
	Instruments *instrumentTable
	Story       template.HTML
	Dialect     string
	Read        string // how many rows were used and left out
	Rules       []string
	Files       []frame.FileLink
	Log         *frame.FileLink
	Ended       string
	Citation    *citationView
}

type stopTable struct {
	frame.Caption
	Rows    []stopRow
	Unshown int
}

type stopRow struct {
	Number        int
	Start, Length string
	TakenOut      bool
	Why           string
}

type instrumentTable struct {
	frame.Caption
	Rows []instrumentRow
}

type instrumentRow struct{ Measures, Name, Accuracy, Resolution string }

// stopsShown is the most stops that a page lists.
const stopsShown = 200

func lay(rd *reading.Reader, s *frame.Sheet, r *journal.Run) error {
	v := runView{Kind: reading.RunKind(r.Type.Value), Date: frame.DayOf(r.Date), Ended: r.EndWords(),
		Version: frame.Link{Words: fmt.Sprintf("%s, version %d: %s", r.Version.Vehicle.Name.Text, r.Version.Number, r.Version.Name.Text), Href: s.To(address.Version(r.Version))}}
	v.Answer = runAnswer(rd, s, r)
	s.Said = v.Answer.Said()
	s.Said.Course = charts.Course(rd, r)
	s.Linked = linked.LinkedRun(rd, s, r)
	if err := runCharts(rd, s, r, &v); err != nil {
		return err
	}
	if t, ok := results.Table(rd, s, r, prose.OwnWords(rd, r, notes.TableScheme, "results")); ok {
		v.Results = &t
		s.Show(notes.TableScheme, "results", r, t.Caption)
	}
	prediction, err := prediction(rd, s, r)
	if err != nil {
		return err
	}
	if v.Prediction = prediction; prediction != nil && prediction.Chart != nil {
		s.Show(notes.PlotScheme, address.PredictionPlot, r, prediction.Chart.Caption)
	}
	v.Speed = driving.Speed(rd, s, r)
	story, err := prose.Render(rd, s, r.Document(), 2)
	if err != nil {
		return err
	}
	v.Story = story
	runStops(rd, s, r, &v)
	v.Method = runMethod(rd, r)
	v.Instruments = instruments(s, r)
	runReading(rd, r, &v)
	if err := runFiles(rd, s, r, &v); err != nil {
		return err
	}
	if v.Citation, err = cite(rd, s, r); err != nil {
		return err
	}
	own := []string{r.Note.Path}
	if r.Log != nil && r.Log.Path != "" {
		own = append(own, r.Log.Path)
	}
	rd.Inspect(s, own, nil)
	leaves(rd, s, r, &v)
	s.CorrectedBelow = true
	s.Block.Type, s.Block.Issued = v.Kind, v.Date
	s.Block.Revision = fmt.Sprintf("version %d", r.Version.Number)
	s.Marks, s.Body = true, v
	return nil
}

// runAnswer is what the page says first: how long, what ended it, what left the pack.
func runAnswer(rd *reading.Reader, s *frame.Sheet, r *journal.Run) *answer.Answer {
	verb, name, flow, energy := "Ran", "running-time", "charge-out", "energy-out"
	left := " left the pack"
	switch r.Type.Value {
	case journal.Charge:
		verb, name, flow, energy, left = "Charged for", "elapsed-time", "charge-in", "energy-in", " went into the pack"
	case journal.Rest:
		verb, name = "Rested", "elapsed-time"
	}
	n := rd.Figure(s, r, name)
	if !n.Set && name == "running-time" {
		verb, n = "Took", rd.Figure(s, r, "elapsed-time")
	}
	a := &answer.Answer{Value: "Time not known"}
	if n.Set {
		a = answer.Answering(verb, n)
	}
	switch {
	case r.Ended.Set:
		a.Lines = append(a.Lines, prose.Stopped(append([]numeral.Phrase{numeral.Say(r.EndHead() + ": ")}, prose.LinePhrases(rd, s, r.Place(), r.Ended)...)))
	case r.FellShort():
		a.Lines = append(a.Lines, []numeral.Phrase{numeral.Say(r.EndHead() + ".")})
	}
	if r.Learned.Set {
		a.Lines = append(a.Lines, []numeral.Phrase{numeral.Say("Learned: " + numeral.Sentence(r.Learned.Text))})
	}
	result := rd.Result(r)
	if result == nil {
		return a
	}
	var line []numeral.Phrase
	if reading.OpenedCutout(result) != nil {
		if at := rd.Figure(s, r, "cutout-voltage"); at.Set {
			line = append(line, numeral.Say("The cutout opened at "), numeral.SayNumber(at), numeral.Say(". "))
		}
	}
	q, w := rd.Figure(s, r, flow), rd.Figure(s, r, energy)
	switch {
	case r.Type.Value == journal.Rest:
	case q.Set && w.Set:
		line = append(line, numeral.SayNumber(q), numeral.Say(" and "), numeral.SayNumber(w), numeral.Say(left+". "))
	case q.Set:
		line = append(line, numeral.SayNumber(q), numeral.Say(left+". "))
	case w.Set:
		line = append(line, numeral.SayNumber(w), numeral.Say(left+". "))
	}
	if d := rd.Figure(s, r, "distance"); d.Set {
		line = append(line, numeral.Say("It went "), numeral.SayNumber(d), numeral.Say(". "))
	}
	if len(line) > 0 {
		a.Lines = append(a.Lines, line)
	}
	if words := stopRule(r, result); words != "" && reading.Moves(r) {
		a.Lines = append(a.Lines, []numeral.Phrase{numeral.Say(words)})
	}
	return a
}

// stopRule says what was done with the stops of a run.
func stopRule(r *journal.Run, result *runlog.Result) string {
	out := 0
	for _, s := range result.Stops {
		if s.TakenOut {
			out++
		}
	}
	switch {
	case !r.PauseAfter.Known() && result.StopCount > 0:
		return fmt.Sprintf("No stop is taken out of this time: the run states no rule for stops (there were %d).", result.StopCount)
	case !r.PauseAfter.Known():
		return "The run states no rule for stops, and none was seen."
	case out == 0:
		return fmt.Sprintf("No stop was longer than %s, so none is taken out.", numeral.Stated(r.PauseAfter).Whole)
	}
	text := fmt.Sprintf("%s longer than %s taken out whole", numeral.Count(out, "stop"), numeral.Stated(r.PauseAfter).Whole)
	if result.Elapsed.Known() {
		text += "; with all stops the run took " + result.Elapsed.String()
	}
	return text + "."
}

func runCharts(rd *reading.Reader, s *frame.Sheet, r *journal.Run, v *runView) error {
	result := rd.Result(r)
	if result == nil {
		return nil
	}
	for _, name := range charts.ShownPlots(result) {
		c, ok, err := charts.Of(rd, s, r, name, numeral.PlainHTML(numeral.Sentence(prose.OwnWords(rd, r, notes.PlotScheme, name))))
		if err != nil {
			return err
		}
		if !ok {
			continue
		}
		v.Charts = append(v.Charts, c)
		s.Show(notes.PlotScheme, name, r, c.Caption)
		if name == runlog.Voltage.String() && reading.TraceOf(result.Traces, runlog.Current) != nil && charts.Together(result) {
			s.Show(notes.PlotScheme, runlog.Current.String(), r, c.Caption)
		}
	}
	names := charts.PlotNames(result)
	if rd.CheckOf(r) != nil {
		names = append(names, address.PredictionPlot)
	}
	for _, name := range names {
		p, ok := charts.Plot(rd, r, name)
		if !ok {
			continue
		}
		data, err := p.CSV()
		if err != nil {
			return err
		}
		if err := rd.Pages.Put(address.DataFile(r, name), data); err != nil {
			return err
		}
	}
	return nil
}

func runStops(rd *reading.Reader, s *frame.Sheet, r *journal.Run, v *runView) {
	result := rd.Result(r)
	if result == nil || len(result.Stops) == 0 || !reading.Moves(r) {
		return
	}
	t := &stopTable{Caption: s.Table("stops", "The stops, by the clock of the log.")}
	for i, stop := range result.Stops[:min(len(result.Stops), stopsShown)] {
		t.Rows = append(t.Rows, stopRow{i + 1, quantity.Clock(stop.Start-result.Start, 1), quantity.Clock(stop.Length, clockStep(stop.Length)), stop.TakenOut, stop.Why})
	}
	t.Unshown = result.StopCount - len(t.Rows)
	v.Stops = t
}

// clockStep prints short stops to a tenth of a second.
func clockStep(length quantity.Seconds) quantity.Seconds {
	if length < 60 {
		return 0.1
	}
	return 1
}

// runMethod lists under what a run was made.
func runMethod(rd *reading.Reader, r *journal.Run) []spec.Row {
	var rows []spec.Row
	add := func(label string, v numeral.Numeral) {
		if v.Set {
			rows = append(rows, spec.Row{Label: label, Cells: []spec.Cell{{Value: rd.Units(v)}}})
		}
	}
	add("Kind of run", numeral.Words(numeral.Meaning(r.Type)))
	add("Temperature", numeral.Stated(r.Conditions.Temperature))
	add("Payload", numeral.Stated(r.Conditions.Payload))
	add("Runs on", numeral.Words(numeral.Plain(r.Conditions.Surface)))
	add("Controller setting", numeral.Stated(r.Conditions.Setting))
	add("Weather", numeral.Words(numeral.Sentence(r.Conditions.Weather.Text)))
	add("Track", numeral.Words(numeral.Sentence(r.Conditions.Track.Text)))
	add("People", numeral.Words(numeral.Sentence(r.Conditions.People.Text)))
	add("Stops taken out", stopWordsOf(r))
	if r.Log != nil && r.PublishPosition.Value && rd.PlacesAsked(r.Log.Path) {
		add("Positions", numeral.Words("in the log, but for what lies near where a run began, ended or stood for long"))
	}
	if r.FellShort() {
		add("Outcome", numeral.Words(numeral.Sentence(numeral.Meaning(r.Outcome))))
	}
	add("Ended", numeral.Words(r.Ended.Text))
	add("Remark", numeral.Words(numeral.Sentence(r.Conditions.Note.Text)))
	return rows
}

func stopWordsOf(r *journal.Run) numeral.Numeral {
	switch {
	case r.PauseAfter.Known():
		n := numeral.Stated(r.PauseAfter)
		n.Whole = "longer than " + n.Whole
		return n
	case r.Type.Value == journal.Bench || r.Type.Value == journal.Field:
		return numeral.Words("none: no rule is stated")
	}
	return numeral.Numeral{}
}

func instruments(s *frame.Sheet, r *journal.Run) *instrumentTable {
	if len(r.Instruments) == 0 {
		return nil
	}
	t := &instrumentTable{Caption: s.Table("instruments", "What it was measured with, as the instruments' makers state it.")}
	for _, i := range r.Instruments {
		row := instrumentRow{Measures: numeral.Meaning(i.Measures), Name: i.Name.Text, Accuracy: i.Accuracy.Written}
		if i.Resolution.Set && !math.IsNaN(i.Resolution.Value) {
			row.Resolution = i.Resolution.Quantity.String()
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// runReading says how the evidence was read.
func runReading(rd *reading.Reader, r *journal.Run, v *runView) {
	result := rd.Result(r)
	if result == nil {
		return
	}
	v.Dialect = numeral.Sentence(result.Dialect)
	if result.Evidence == runlog.EvidenceLog {
		v.Read = result.Ledger()
		if result.GapCount > 0 {
			v.Read += fmt.Sprintf("; %s not counted across", numeral.Count(result.GapCount, "gap"))
		}
		v.Read += "."
		if time := result.TimeLedger(); time != "" {
			v.Read += " " + time
		}
		if part := r.Log.Part.Text; part != "" {
			v.Read += fmt.Sprintf(" The run is %s of the log, which holds %s.", part, numeral.Count(len(result.Parts), "part"))
		}
	}
	for _, rule := range []string{result.IdleRule, result.GapRule} {
		if rule != "" {
			v.Rules = append(v.Rules, numeral.Sentence(rule))
		}
	}
}

func runFiles(rd *reading.Reader, s *frame.Sheet, r *journal.Run, v *runView) error {
	folder := path.Dir(address.Run(r))
	if r.Log != nil && r.Log.Path != "" && rd.LogOf[r.Log.Path] != "" {
		target := rd.LogOf[r.Log.Path]
		v.Log = &frame.FileLink{Words: path.Base(target), Href: address.Escape(s.To(target)), What: "the log, of which what is measured is published"}
		v.Files = append(v.Files, *v.Log)
	}
	results, err := results.JSON(rd, r)
	if err != nil {
		return err
	}
	if err := rd.Pages.Put(folder+"/"+address.ResultsFile, results); err != nil {
		return err
	}
	v.Files = append(v.Files, frame.FileLink{Words: address.ResultsFile, Href: s.To(folder + "/" + address.ResultsFile), What: "the results, with standard uncertainties"})
	return nil
}
