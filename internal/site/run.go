package site

import (
	"fmt"
	"html/template"
	"math"
	"path"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// runView is the view of a run's page.
type runView struct {
	Kind        string
	Version     link
	Date        *day
	Answer      *answer
	Charts      []*chartView
	Results     *resultsTable
	Prediction  *predictionView
	Speed       *speedView
	Stops       *stopTable
	Method      []specRow
	Instruments *instrumentTable
	Story       template.HTML
	Dialect     string
	Read        string // how many rows were used and left out
	Rules       []string
	Files       []fileLink
	Log         *fileLink
	Ended       string
	Citation    *citationView
}

type stopTable struct {
	caption
	Folded  bool // many: they are listed when a reader asks
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
	caption
	Rows []instrumentRow
}

type instrumentRow struct{ Measures, Name, Accuracy, Resolution string }

type fileLink struct {
	Words, Href, What string
}

// stopsShown is the most stops that a page lists.
const stopsShown = 200

// stopsOpen is the most stops that are listed without being asked for.
const stopsOpen = 12

func (b *builder) run(s *sheet, r *journal.Run) error {
	v := runView{Kind: runKind(r.Type.Value), Date: dayOf(r.Date), Ended: r.Ended.Text,
		Version: link{Words: fmt.Sprintf("%s, version %d: %s", r.Version.Vehicle.Name.Text, r.Version.Number, r.Version.Name.Text), Href: s.to(versionPage(r.Version))}}
	v.Answer = b.runAnswer(s, r)
	if err := b.runCharts(s, r, &v); err != nil {
		return err
	}
	if t, ok := b.results(s, r, b.ownWords(r, notes.TableScheme, "results")); ok {
		v.Results = &t
		s.show(notes.TableScheme, "results", r, t.caption)
	}
	prediction, err := b.prediction(s, r)
	if err != nil {
		return err
	}
	if v.Prediction = prediction; prediction != nil && prediction.Chart != nil {
		s.show(notes.PlotScheme, predictionPlot, r, prediction.Chart.caption)
	}
	v.Speed = b.speed(s, r)
	story, err := b.prose(s, r.Document, 2)
	if err != nil {
		return err
	}
	v.Story = story
	b.runStops(s, r, &v)
	v.Method = b.runMethod(r)
	v.Instruments = instruments(s, r)
	b.runReading(r, &v)
	if err := b.runFiles(s, r, &v); err != nil {
		return err
	}
	if v.Citation, err = b.cite(s, r); err != nil {
		return err
	}
	own := []string{r.Note.Path}
	if r.Log != nil && r.Log.Path != "" {
		own = append(own, r.Log.Path)
	}
	b.inspect(s, own, nil)
	s.Block.Type, s.Block.Issued = v.Kind, v.Date
	s.Block.Revision = fmt.Sprintf("version %d", r.Version.Number)
	s.Marks, s.Body = true, v
	return nil
}

// runAnswer is what the page says first: how long, what ended it, what left the pack.
func (b *builder) runAnswer(s *sheet, r *journal.Run) *answer {
	verb, name, flow, energy := "Ran", "running-time", "charge-out", "energy-out"
	left := " left the pack"
	switch r.Type.Value {
	case journal.Charge:
		verb, name, flow, energy, left = "Charged for", "elapsed-time", "charge-in", "energy-in", " went into the pack"
	case journal.Rest:
		verb, name = "Rested", "elapsed-time"
	}
	n := b.figure(s, r, name)
	if !n.Set && name == "running-time" {
		verb, n = "Took", b.figure(s, r, "elapsed-time")
	}
	a := &answer{Value: "Time not known"}
	if n.Set {
		a = answering(verb, n)
	}
	if r.Ended.Set {
		a.Lines = append(a.Lines, stopped(append([]phrase{say("Ended: ")}, b.linePhrases(s, r.Place(), r.Ended)...)))
	}
	result := b.result(r)
	if result == nil {
		return a
	}
	var line []phrase
	if openedCutout(result) != nil {
		if at := b.figure(s, r, "cutout-voltage"); at.Set {
			line = append(line, say("The cutout opened at "), sayNumber(at), say(". "))
		}
	}
	q, w := b.figure(s, r, flow), b.figure(s, r, energy)
	switch {
	case r.Type.Value == journal.Rest:
	case q.Set && w.Set:
		line = append(line, sayNumber(q), say(" and "), sayNumber(w), say(left+". "))
	case q.Set:
		line = append(line, sayNumber(q), say(left+". "))
	case w.Set:
		line = append(line, sayNumber(w), say(left+". "))
	}
	if d := b.figure(s, r, "distance"); d.Set {
		line = append(line, say("It went "), sayNumber(d), say(". "))
	}
	if len(line) > 0 {
		a.Lines = append(a.Lines, line)
	}
	if words := stopRule(r, result); words != "" && moves(r) {
		a.Lines = append(a.Lines, []phrase{say(words)})
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
		return fmt.Sprintf("No stop was longer than %s, so none is taken out.", stated(r.PauseAfter).Whole)
	}
	text := fmt.Sprintf("%s longer than %s taken out whole", count(out, "stop"), stated(r.PauseAfter).Whole)
	if result.Elapsed.Known() {
		text += "; with all stops the run took " + result.Elapsed.String()
	}
	return text + "."
}

func (b *builder) runCharts(s *sheet, r *journal.Run, v *runView) error {
	result := b.result(r)
	if result == nil {
		return nil
	}
	for _, name := range shownPlots(result) {
		c, ok, err := b.chartOf(s, r, name, plainHTML(sentence(b.ownWords(r, notes.PlotScheme, name))))
		if err != nil {
			return err
		}
		if !ok {
			continue
		}
		v.Charts = append(v.Charts, c)
		s.show(notes.PlotScheme, name, r, c.caption)
		if name == runlog.Voltage.String() && traceOf(result.Traces, runlog.Current) != nil {
			s.show(notes.PlotScheme, runlog.Current.String(), r, c.caption)
		}
	}
	names := plotNames(result)
	if b.checkOf(r) != nil {
		names = append(names, predictionPlot)
	}
	for _, name := range names {
		p, ok := b.plot(r, name)
		if !ok {
			continue
		}
		data, err := p.CSV()
		if err != nil {
			return err
		}
		if err := b.pages.put(dataFile(r, name), data); err != nil {
			return err
		}
	}
	return nil
}

func (b *builder) runStops(s *sheet, r *journal.Run, v *runView) {
	result := b.result(r)
	if result == nil || len(result.Stops) == 0 || !moves(r) {
		return
	}
	t := &stopTable{caption: s.table("stops", "The stops, by the clock of the log.")}
	for i, stop := range result.Stops[:min(len(result.Stops), stopsShown)] {
		t.Rows = append(t.Rows, stopRow{i + 1, quantity.Clock(stop.Start-result.Start, 1), quantity.Clock(stop.Length, clockStep(stop.Length)), stop.TakenOut, stop.Why})
	}
	t.Unshown, t.Folded = result.StopCount-len(t.Rows), len(t.Rows) > stopsOpen
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
func (b *builder) runMethod(r *journal.Run) []specRow {
	var rows []specRow
	add := func(label string, v numeral) {
		if v.Set {
			rows = append(rows, specRow{Label: label, Cells: []specCell{{Value: b.units(v)}}})
		}
	}
	add("Kind of run", words(meaning(r.Type)))
	add("Temperature", stated(r.Conditions.Temperature))
	add("Payload", stated(r.Conditions.Payload))
	add("Runs on", words(plain(r.Conditions.Surface)))
	add("Controller setting", stated(r.Conditions.Setting))
	add("Stops taken out", stopWordsOf(r))
	if r.Log != nil && r.PublishPosition.Value && b.placesAsked(r.Log.Path) {
		add("Positions", words("in the log, but for what lies near where a run began, ended or stood for long"))
	}
	add("Ended", words(r.Ended.Text))
	add("Remark", words(sentence(r.Conditions.Note.Text)))
	return rows
}

func stopWordsOf(r *journal.Run) numeral {
	switch {
	case r.PauseAfter.Known():
		n := stated(r.PauseAfter)
		n.Whole = "longer than " + n.Whole
		return n
	case r.Type.Value == journal.Bench || r.Type.Value == journal.Field:
		return words("none: no rule is stated")
	}
	return numeral{}
}

func instruments(s *sheet, r *journal.Run) *instrumentTable {
	if len(r.Instruments) == 0 {
		return nil
	}
	t := &instrumentTable{caption: s.table("instruments", "What it was measured with, as the instruments' makers state it.")}
	for _, i := range r.Instruments {
		row := instrumentRow{Measures: meaning(i.Measures), Name: i.Name.Text, Accuracy: i.Accuracy.Written}
		if i.Resolution.Set && !math.IsNaN(i.Resolution.Value) {
			row.Resolution = i.Resolution.Quantity.String()
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// runReading says how the evidence was read.
func (b *builder) runReading(r *journal.Run, v *runView) {
	result := b.result(r)
	if result == nil {
		return
	}
	v.Dialect = sentence(result.Dialect)
	if result.Evidence == runlog.EvidenceLog {
		v.Read = result.Ledger()
		if result.GapCount > 0 {
			v.Read += fmt.Sprintf("; %s not counted across", count(result.GapCount, "gap"))
		}
		v.Read += "."
		if time := result.TimeLedger(); time != "" {
			v.Read += " " + time
		}
		if part := r.Log.Part.Text; part != "" {
			v.Read += fmt.Sprintf(" The run is %s of the log, which holds %s.", part, count(len(result.Parts), "part"))
		}
	}
	for _, rule := range []string{result.IdleRule, result.GapRule} {
		if rule != "" {
			v.Rules = append(v.Rules, sentence(rule))
		}
	}
}

func (b *builder) runFiles(s *sheet, r *journal.Run, v *runView) error {
	folder := path.Dir(runPage(r))
	if r.Log != nil && r.Log.Path != "" && b.logOf[r.Log.Path] != "" {
		target := b.logOf[r.Log.Path]
		v.Log = &fileLink{path.Base(target), escapePath(s.to(target)), "the log, of which what is measured is published"}
		v.Files = append(v.Files, *v.Log)
	}
	results, err := b.resultsJSON(r)
	if err != nil {
		return err
	}
	if err := b.pages.put(folder+"/"+resultsFile, results); err != nil {
		return err
	}
	v.Files = append(v.Files, fileLink{resultsFile, s.to(folder + "/" + resultsFile), "the results, with standard uncertainties"})
	return nil
}
