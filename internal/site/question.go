package site

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/runlog"
)

// Pages of the questions.
const (
	questionsPage = "questions/index.html"
	sheetFolder   = "run-sheet"
)

func questionPage(q *journal.NotePage) string { return "questions/" + q.Slug + "/index.html" }
func runSheetPage(q *journal.NotePage) string {
	return "questions/" + q.Slug + "/" + sheetFolder + "/index.html"
}

// questionView is the view of a question's page.
type questionView struct {
	Short    template.HTML // the answer as the maker wrote it
	Big      *answer       // that it is not measured yet, with what is computed
	Computed []phrase      // what is computed, beside what was measured
	Asked    []string
	Evidence *evidenceTable
	Depends  *dependsView
	Reckon   *reckonView
	Unknown  []unknownGroup
	Story    template.HTML
	Sheet    *link
	Changed  []phrase
	Past     []callout // of versions that others follow
}

// evidenceTable sets what bears on a question beside each other: a body for each figure, a row for each run.
type evidenceTable struct {
	caption
	Bodies []evidenceBody
}

type evidenceBody struct {
	Figure, Method string
	Rows           []evidenceRow
}

type evidenceRow struct {
	Run        link
	Of         link
	Date       *day
	Conditions string
	Value      numeral
	Note       string
}

// dependsView is what the running time depends on, as it is computed for one version.
type dependsView struct {
	Version link
	Matters *matterView
}

// unknownGroup is what is not known for one reason.
type unknownGroup struct {
	What   []phrase
	Reason string
}

func (b *builder) question(s *sheet, n *journal.NotePage) error {
	q := n.Question
	v := questionView{}
	var err error
	if v.Short, err = b.opening(s, n.Document); err != nil {
		return err
	}
	b.predictedAnswer(s, n, &v)
	for _, w := range q.Asked {
		v.Asked = append(v.Asked, w.Text)
	}
	v.Evidence = b.evidenceOf(s, n)
	if v.Depends, err = b.depends(s, q); err != nil {
		return err
	}
	if v.Reckon, err = b.reckon(s, q); err != nil {
		return err
	}
	v.Unknown = b.unknown(s, n)
	if v.Story, err = b.rest(s, n.Document, 2); err != nil {
		return err
	}
	if sheetWanted(q) {
		v.Sheet = &link{Words: "The run sheet", Href: s.to(runSheetPage(n)), Note: "what to take, how to go about it, and rows to fill in; it prints on A4 or Letter"}
	}
	changed, by := b.lastChanged(s, n)
	if changed != nil {
		v.Changed = []phrase{say("Last changed " + changed.Long + ": "), by, say(".")}
	}
	b.inspect(s, []string{n.Note.Path}, q.Files())
	for _, c := range s.Callouts {
		if c.Past {
			v.Past = append(v.Past, c)
		}
	}
	s.Callouts = slices.DeleteFunc(s.Callouts, func(c callout) bool { return c.Past })
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Question", changed, count(len(q.Runs), "run")
	s.Linked = b.linkedQuestion(n)
	s.Marks, s.Body = true, v
	return nil
}

// sheetWanted tells whether a question has a run sheet: where it is not measured yet, and where the maker states how to.
func sheetWanted(q *journal.Question) bool { return len(q.Runs) == 0 || q.Trial != nil }

// predictedAnswer says that a question is not measured yet, and what is computed for it.
func (b *builder) predictedAnswer(s *sheet, n *journal.NotePage, v *questionView) {
	q := n.Question
	num, words, ok := b.predictionOf(s, n)
	switch {
	case len(q.Runs) == 0 && ok:
		v.Big = answering("Not measured yet. Computed", num)
		v.Big.Lines = [][]phrase{words}
	case len(q.Runs) == 0:
		v.Big = &answer{Value: "Not measured yet"}
	case ok:
		v.Computed = append([]phrase{say("Computed: "), sayNumber(num), say(", ")}, words...)
	}
}

// predictionOf is what is computed for a question; false where nothing is named, or it cannot be computed.
func (b *builder) predictionOf(s *sheet, n *journal.NotePage) (numeral, []phrase, bool) {
	q := n.Question
	v := q.Predicted.Version
	if v == nil || b.in.Results == nil || b.in.Results.Predictions == nil {
		return numeral{}, nil, false
	}
	name := q.Predicted.Name
	a := b.answers(v)
	of := phrase{Text: fmt.Sprintf("%s, version %d", v.Vehicle.Name.Text, v.Number), Href: s.to(versionPage(v))}
	anchor := "#" + strings.ReplaceAll(name, "/", "-")
	if a != nil {
		if c, ok := a.RunTime(name); ok && c.Err == "" && c.End().Err == "" {
			run := computedRun{load: a.Table.Loads[c.Load], reach: c.End(), to: a.Table.EndsBy}
			words := append([]phrase{say("the packs of "), of, say(" from full to " + run.to + ", ")}, b.where(s, v, run, nil)...)
			words = append(append(words, say(". ")), b.counted(s, v, run)...)
			return runTime(run.reach.Running, s.to(versionPage(v))+anchor), words, true
		}
		for _, c := range a.Charges {
			if c.Name == name && c.Err == "" {
				return printed(c.Total.Quantity(), computed, s.to(versionPage(v))+anchor), []phrase{say("to charge "), of,
					say(fmt.Sprintf(" from %.0f %%, ", 100*c.From)), say("with "), sayNumber(rough(c.Current, computed, b.formulaLink(s, "charge-from-run"))), say(".")}, true
			}
		}
	}
	known := predictedNames(a)
	remedy := "take the key out: nothing can be computed for this version."
	if len(known) > 0 {
		remedy = "write " + v.Path() + "/ and one of " + strings.Join(known, ", ") + "."
	}
	b.findings.Add(finding.Finding{Rule: RuleNoPrediction, Level: finding.Error, Span: q.Prediction.Span,
		Text: fmt.Sprintf("`prediction`: nothing is computed for %s under the name `%s`%s", v.Path(), name, notes.DidYouMean(name, known)), Remedy: remedy})
	return numeral{}, nil, false
}

// RuleNoPrediction is the rule of findings about predictions that a question names and nobody computes.
const RuleNoPrediction = "question-prediction"

func predictedNames(a *predict.Prediction) []string {
	var out []string
	if a == nil {
		return nil
	}
	for _, row := range a.Table.Cells {
		for _, c := range row {
			if c.Err == "" && c.End().Err == "" {
				out = append(out, c.Name)
			}
		}
	}
	for _, c := range a.Charges {
		if c.Err == "" {
			out = append(out, c.Name)
		}
	}
	return out
}

// figuresAsked are the figures that a question's evidence table holds.
func (b *builder) figuresAsked(n *journal.NotePage) []string {
	var out []string
	add := func(name string) {
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	for _, w := range n.Question.Figures {
		add(w.Text)
	}
	if len(out) > 0 {
		return out
	}
	for _, e := range n.Document.Embeds {
		if e.Scheme != notes.ValueScheme || e.TakenBack {
			continue
		}
		v, broken := b.in.Values.Find(journal.Place{Page: n}, e.Target)
		if broken == nil && v.Place.Run != nil && slices.Contains(n.Question.Runs, v.Place.Run) && slices.Contains(runlog.FigureNames(), v.Name) {
			add(v.Name)
		}
	}
	if len(out) == 0 {
		add("running-time")
	}
	return out
}

// apt tells whether a figure can be asked of a run of a type at all.
func apt(name string, t journal.RunType) bool {
	return name != "running-time" || t == journal.Field || t == journal.Bench
}

func (b *builder) evidenceOf(s *sheet, n *journal.NotePage) *evidenceTable {
	t := &evidenceTable{}
	for _, name := range b.figuresAsked(n) {
		body := evidenceBody{}
		var column []*numeral
		for _, r := range n.Question.Runs {
			for _, f := range b.figures(r) {
				if f.Name != name || f.Missing != "" || !apt(name, r.Type.Value) {
					continue
				}
				body.Figure, body.Method = f.Label, b.methodLink(s, finding.FormulaDoc, f.Formula)
				body.Rows = append(body.Rows, evidenceRow{Run: link{Words: runWords(r), Href: s.to(runPage(r)), Note: r.Name.Text},
					Of:   link{Words: fmt.Sprintf("%s, version %d", r.Version.Vehicle.Name.Text, r.Version.Number), Href: s.to(versionPage(r.Version))},
					Date: dayOf(r.Date), Conditions: b.conditionWords(r), Value: b.figure(s, r, name), Note: sentence(f.Note)})
			}
		}
		for i := range body.Rows {
			column = append(column, &body.Rows[i].Value)
		}
		align(column)
		if len(body.Rows) > 0 {
			t.Bodies = append(t.Bodies, body)
		}
	}
	if len(t.Bodies) == 0 {
		return nil
	}
	t.caption = s.table("evidence", "What bears on the question: each figure, run by run, with what it was measured under.")
	return t
}

// conditionWords says under what a run was made and what ended it.
func (b *builder) conditionWords(r *journal.Run) string {
	var out []string
	add := func(n numeral, after string) {
		if n.Set {
			out = append(out, n.Whole+after)
		}
	}
	c := r.Conditions
	add(b.units(stated(c.Payload)), "")
	add(words(plain(c.Surface)), "")
	add(stated(c.Setting), "")
	add(b.units(stated(c.Temperature)), "")
	if r.Ended.Set {
		out = append(out, "ended: "+strings.TrimSuffix(r.Ended.Text, "."))
	}
	return strings.Join(out, ", ")
}

// depends is what the running time depends on, where the question is about one.
func (b *builder) depends(s *sheet, q *journal.Question) (*dependsView, error) {
	about := strings.HasPrefix(q.Predicted.Name, "run-time/")
	for _, w := range q.Figures {
		about = about || w.Text == "running-time"
	}
	if !about {
		return nil, nil
	}
	versions := q.Concerned()
	if p := q.Predicted.Version; p != nil {
		versions = []*journal.Version{p}
	}
	for _, v := range slices.Backward(versions) {
		m, err := b.matters(s, v)
		if err != nil {
			return nil, err
		}
		if m != nil && m.Why == "" {
			return &dependsView{link{Words: v.Vehicle.Name.Text + ", " + midSentence(versionWords(v)), Href: s.to(versionPage(v))}, m}, nil
		}
	}
	return nil, nil
}

// unknown lists what the evidence does not say, each with the reason.
func (b *builder) unknown(s *sheet, n *journal.NotePage) []unknownGroup {
	var out []unknownGroup
	add := func(reason string, what ...phrase) {
		reason = sentence(onPage(reason))
		for i := range out {
			if out[i].Reason == reason {
				out[i].What = append(append(out[i].What, say("; ")), what...)
				return
			}
		}
		out = append(out, unknownGroup{what, reason})
	}
	q := n.Question
	asked := b.figuresAsked(n)
	if len(q.Runs) == 0 {
		asked = nil
	}
	for _, name := range asked {
		for _, r := range q.Runs {
			on := phrase{Text: midSentence(runWords(r)), Href: s.to(runPage(r))}
			for _, f := range b.figures(r) {
				switch {
				case f.Name != name || !apt(name, r.Type.Value):
				case f.Missing != "":
					add(f.Missing, say(f.Label+" on the "), on)
				case math.IsNaN(f.Quantity.U):
					add("the accuracy of what it was measured with is not stated", say("How sure the "+midSentence(f.Label)+" is on the "), on)
				}
			}
			if len(b.figures(r)) == 0 {
				add("its evidence could not be computed", say("Anything of the "), on)
			}
		}
	}
	switch single := b.single(q.Runs); {
	case len(q.Runs) == 0:
		add("no run bears on the question", say("Anything measured"))
	case len(single) == len(q.Runs) && len(single) == 1:
		add("it was made once", say("How much the run differs from a repeat of it"))
	case len(single) == len(q.Runs):
		add("each was made once under its conditions", say("How much these runs differ from repeats of them"))
	}
	if v := q.Predicted.Version; v != nil {
		if a := b.answers(v); a != nil && a.Err == "" && len(a.Validations) == 0 {
			add("there is no run that the computing could be held against", say("How far off the computed value is"))
		}
	}
	return out
}

// single are the runs that have no second one under the same conditions among them.
func (b *builder) single(runs []*journal.Run) []*journal.Run {
	var out []*journal.Run
	for i, r := range runs {
		alone := true
		for k, other := range runs {
			if i != k && r.Version == other.Version && len(journal.Unlike(r, other)) == 0 {
				alone = false
			}
		}
		if alone {
			out = append(out, r)
		}
	}
	return out
}

func (b *builder) lastChanged(s *sheet, n *journal.NotePage) (*day, phrase) {
	date, by := b.lastChange(s, n)
	return dayOf(date), by
}

// lastChange is the newest date among the notes that bear on a question, its own and its corrections', and which it is.
func (b *builder) lastChange(s *sheet, n *journal.NotePage) (notes.Date, phrase) {
	date, by := n.Date, phrase{Text: "the question"}
	see := func(d notes.Date, p phrase) {
		if d.Set && (!date.Set || d.Time().After(date.Time())) {
			date, by = d, p
		}
	}
	q := n.Question
	for _, v := range q.Concerned() {
		see(v.Date, phrase{Text: midSentence(versionWords(v)), Href: s.to(versionPage(v))})
	}
	for _, r := range q.Runs {
		see(r.Date, phrase{Text: midSentence(runWords(r)), Href: s.to(runPage(r))})
	}
	for _, c := range b.in.Journal.Corrections {
		for _, p := range c.Correction.Places() {
			if p.Page == n || p.Run != nil && slices.Contains(q.Runs, p.Run) || p.Run == nil && p.Version != nil && slices.Contains(q.Concerned(), p.Version) {
				see(c.Date, phrase{Text: "the correction “" + c.Title.Text + "”", Href: s.to(correctionPage(c))})
			}
		}
	}
	return date, by
}

// plainOpening is the first paragraph of a note as plain text, its numbers as the page prints them.
func (b *builder) plainOpening(n *journal.NotePage) string {
	text, _ := b.in.Values.Opening(journal.Place{Page: n})
	return text
}

// questionsView is the view of the list of questions.
type questionsView struct {
	Lead string
	Rows []questionRow
}

type questionRow struct {
	Question link
	Short    string
	State    string
	Asked    []string
	Changed  *day
}

func (b *builder) questionRow(s *sheet, n *journal.NotePage) questionRow {
	row := questionRow{Question: link{Words: or(n.Title.Text, n.Slug), Href: s.to(questionPage(n))}, State: "not measured yet"}
	if k := len(n.Question.Runs); k > 0 {
		row.State = "rests on " + count(k, "run")
	}
	if said := notes.Sentences(b.plainOpening(n)); len(said) > 0 {
		row.Short = onPage(said[0])
	}
	for _, w := range n.Question.Asked {
		row.Asked = append(row.Asked, w.Text)
	}
	row.Changed, _ = b.lastChanged(s, n)
	return row
}

func (b *builder) questionIndex(s *sheet) error {
	j := b.in.Journal
	v := questionsView{Lead: fmt.Sprintf("%s, the one asked most first. Each answer rests on runs, or says that nothing was measured yet.", count(len(j.Questions), "question"))}
	var files []string
	for _, n := range j.Questions {
		v.Rows = append(v.Rows, b.questionRow(s, n))
		files = append(files, n.Note.Path)
	}
	var dates []notes.Date
	for _, n := range j.Questions {
		dates = append(dates, n.Date)
	}
	b.inspect(s, nil, files)
	s.Callouts = nil // they stand with the answers that they concern
	s.Block.Type, s.Block.Issued, s.Block.Revision = "List of questions", dayOf(newest(dates...)), count(len(j.Questions), "question")
	s.Linked = b.linkedQuestions()
	s.Body = v
	return nil
}
