package question

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/linked"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
)

// questionView is the view of a question's page.
type questionView struct {
	Short    template.HTML  // the answer as the maker wrote it
	Big      *answer.Answer // what is computed, or that it is not measured yet
	Asked    []string
	Evidence *evidenceTable
	Depends  *dependsView
	Reckon   *reckonView
	Unknown  []unknownGroup
	Story    template.HTML
	Sheet    *frame.Link
	Changed  []numeral.Phrase
	Leaves   frame.Leaves
	Past     frame.Callouts // of versions that others follow
}

// evidenceTable sets what bears on a question beside each other: a body for each figure, a row for each run.
type evidenceTable struct {
	frame.Caption
	Bodies []evidenceBody
}

type evidenceBody struct {
	Figure, Method string
	Rows           []evidenceRow
}

type evidenceRow struct {
	Run        frame.Link
	Of         frame.Link
	Date       *frame.Day
	Conditions string
	Value      numeral.Numeral
	Note       string
}

// dependsView is what the running time depends on, as it is computed for one version.
type dependsView struct {
	Version frame.Link
	Matters *forecast.MatterView
}

// unknownGroup is what is not known for one reason.
type unknownGroup struct {
	What   []numeral.Phrase
	Reason string
}

func lay(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) error {
	q := n.Question
	v := questionView{}
	var err error
	if v.Short, err = prose.Opening(rd, s, n.Document()); err != nil {
		return err
	}
	predictedAnswer(rd, s, n, &v)
	if v.Big != nil {
		v.Big.Moved = forecast.Moved(rd, s, q.Predicted.Version, q.Predicted.Name)
	}
	for _, w := range q.Asked {
		v.Asked = append(v.Asked, w.Text)
	}
	v.Evidence = evidenceOf(rd, s, n)
	if v.Depends, err = depends(rd, s, q); err != nil {
		return err
	}
	if v.Reckon, err = reckon(rd, s, q); err != nil {
		return err
	}
	v.Unknown = unknown(rd, s, n)
	if v.Story, err = prose.Rest(rd, s, n.Document(), 2); err != nil {
		return err
	}
	if reading.SheetWanted(q) {
		v.Sheet = &frame.Link{Words: "The run sheet", Href: s.To(address.RunSheet(n)), Note: "what to take, how to go about it, and rows to fill in; it prints on A4 or Letter"}
	}
	s.Said = v.Big.Said()
	s.Said.Then = linked.AnswerText(rd, n)
	changed, by := rd.LastChanged(s, n)
	if changed != nil {
		v.Changed = []numeral.Phrase{numeral.Say("Last changed " + changed.Long + ": "), by, numeral.Say(".")}
	}
	rd.Inspect(s, []string{n.Note.Path}, q.Files())
	s.Callouts, v.Past = bearing(n, s.Callouts)
	leaves(&v)
	s.CorrectedBelow = true
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Question", changed, numeral.Count(len(q.Runs), "run")
	s.Linked = linked.LinkedQuestion(rd, n)
	s.Marks, s.Body = true, v
	return nil
}

// predictedAnswer says that a question is not measured yet, and what is computed for it.
func predictedAnswer(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage, v *questionView) {
	q := n.Question
	num, words, ok := forecast.PredictionOf(rd, s, n)
	switch {
	case len(q.Runs) == 0 && ok:
		v.Big = answer.Answering("Not measured yet. Computed", num)
		v.Big.Lines = [][]numeral.Phrase{words}
	case len(q.Runs) == 0 && !ofFact(q, v):
		v.Big = &answer.Answer{Value: "Not measured yet"}
	case ok:
		v.Big = answer.Answering("Computed", num)
		v.Big.Lines = [][]numeral.Phrase{words}
	}
}

// ofFact tells whether a question asks for nothing that a run would measure and is answered all the same: what something cost, which part it
// is, how it is done.
func ofFact(q *journal.Question, v *questionView) bool {
	return v.Short != "" && len(q.Runs) == 0 && len(q.Figures) == 0 && q.Predicted.Version == nil
}

// figuresAsked are the figures that a question's evidence table holds.
func figuresAsked(rd *reading.Reader, n *journal.NotePage) []string {
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
	for _, e := range n.Document().Embeds {
		if e.Scheme != notes.ValueScheme || e.TakenBack {
			continue
		}
		v, broken := rd.Values.Find(journal.Place{Page: n}, e.Target)
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

func evidenceOf(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) *evidenceTable {
	t := &evidenceTable{}
	for _, name := range figuresAsked(rd, n) {
		body := evidenceBody{}
		var column []*numeral.Numeral
		for _, r := range n.Question.Runs {
			for _, f := range rd.Figures(r) {
				if f.Name != name || !f.Quantity.Known() || !apt(name, r.Type.Value) {
					continue
				}
				body.Figure, body.Method = f.Label, rd.MethodLink(s, finding.FormulaDoc, f.Formula)
				body.Rows = append(body.Rows, evidenceRow{Run: frame.Link{Words: reading.RunWords(r), Href: s.To(address.Run(r)), Note: r.Name.Text},
					Of:   frame.Link{Words: fmt.Sprintf("%s, version %d", r.Version.Vehicle.Name.Text, r.Version.Number), Href: s.To(address.Version(r.Version))},
					Date: frame.DayOf(r.Date), Conditions: conditionWords(rd, r), Value: rd.Figure(s, r, name), Note: numeral.Sentence(f.Note)})
			}
		}
		for i := range body.Rows {
			column = append(column, &body.Rows[i].Value)
		}
		numeral.Align(column)
		if len(body.Rows) > 0 {
			t.Bodies = append(t.Bodies, body)
		}
	}
	if len(t.Bodies) == 0 {
		return nil
	}
	t.Caption = s.Table("evidence", "What bears on the question: each figure, run by run, with what it was measured under.")
	return t
}

// conditionWords says under what a run was made and what ended it.
func conditionWords(rd *reading.Reader, r *journal.Run) string {
	var out []string
	add := func(n numeral.Numeral, after string) {
		if n.Set {
			out = append(out, n.Whole+after)
		}
	}
	c := r.Conditions
	add(rd.Units(numeral.Stated(c.Payload)), "")
	add(numeral.Words(numeral.Plain(c.Surface)), "")
	add(numeral.Stated(c.Setting), "")
	add(rd.Units(numeral.Stated(c.Temperature)), "")
	if end := r.EndClause(); end != "" {
		out = append(out, end)
	}
	return strings.Join(out, ", ")
}

// depends is what the running time depends on, where the question is about one.
func depends(rd *reading.Reader, s *frame.Sheet, q *journal.Question) (*dependsView, error) {
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
		m, err := forecast.Matters(rd, s, v)
		if err != nil {
			return nil, err
		}
		if m != nil && m.Why == "" {
			return &dependsView{frame.Link{Words: v.Vehicle.Name.Text + ", " + numeral.MidSentence(reading.VersionWords(v)), Href: s.To(address.Version(v))}, m}, nil
		}
	}
	return nil, nil
}

// unknown lists what the evidence does not say, each with the reason.
func unknown(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) []unknownGroup {
	var out []unknownGroup
	add := func(reason string, what ...numeral.Phrase) {
		reason = numeral.Sentence(numeral.OnPage(reason))
		for i := range out {
			if out[i].Reason == reason {
				out[i].What = append(append(out[i].What, numeral.Say("; ")), what...)
				return
			}
		}
		out = append(out, unknownGroup{what, reason})
	}
	q := n.Question
	asked := figuresAsked(rd, n)
	if len(q.Runs) == 0 {
		asked = nil
	}
	for _, name := range asked {
		for _, r := range q.Runs {
			on := numeral.Phrase{Text: numeral.MidSentence(reading.RunWords(r)), Href: s.To(address.Run(r))}
			for _, f := range rd.Figures(r) {
				q, known := f.Quantity.Get()
				switch {
				case f.Name != name || !apt(name, r.Type.Value):
				case !known:
					add(f.Quantity.Why(), numeral.Say(f.Label+" on the "), on)
				case math.IsNaN(q.U):
					add("the accuracy of what it was measured with is not stated", numeral.Say("How sure the "+numeral.MidSentence(f.Label)+" is on the "), on)
				}
			}
			if len(rd.Figures(r)) == 0 {
				add("its evidence could not be computed", numeral.Say("Anything of the "), on)
			}
		}
	}
	switch single := single(rd, q.Runs); {
	case len(q.Runs) == 0 && len(q.Figures) == 0 && q.Predicted.Version == nil: // it asks for a fact
	case len(q.Runs) == 0:
		add("no run bears on the question", numeral.Say("Anything measured"))
	case len(single) == len(q.Runs) && len(single) == 1:
		add("it was made once", numeral.Say("How much the run differs from a repeat of it"))
	case len(single) == len(q.Runs):
		add("each was made once under its conditions", numeral.Say("How much these runs differ from repeats of them"))
	}
	if v := q.Predicted.Version; v != nil {
		if a := rd.Answers(v); a != nil && a.Err == "" && len(a.Validations) == 0 {
			add("there is no run that the computing could be held against", numeral.Say("How far off the computed value is"))
		}
		if a := rd.Answers(v); a != nil && a.Sensitivity != nil && a.Sensitivity.Next != nil {
			reason := strings.TrimSuffix(numeral.MidSentence(a.Sensitivity.Next.Words), ".")
			add(numeral.OnPage(reason), numeral.Say("The running time more closely, at the load of "+numeral.OnPage(a.Sensitivity.Label)))
		}
	}
	return out
}

// single are the runs that have no second one under the same conditions among them.
func single(rd *reading.Reader, runs []*journal.Run) []*journal.Run {
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
