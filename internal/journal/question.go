package journal

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// Question is what a question's note says beyond what every note does. The first paragraph of its body is the short
// answer, with its numbers bound as in any other note.
type Question struct {
	Kind       notes.Word    `key:"kind,required"`
	Title      notes.Line    `key:"title,required"`
	Date       notes.Date    `key:"date"`
	Summary    notes.Line    `key:"summary"`
	Held       notes.Flag    `key:"held-back"`
	Subjects   Names         `key:"subjects"`
	Asked      []notes.Word  `key:"asked"` // other wordings
	Rank       notes.Integer `key:"rank"`  // 1 is asked most
	Bears      []notes.Word  `key:"bears"`
	Figures    []notes.Word  `key:"figures"`
	Prediction notes.Word    `key:"prediction"`
	Trial      *Trial        `key:"trial"`
	Lead       *Photo        `key:"lead"` // the picture that the page opens with
	Gallery    []Photo       `key:"gallery"`
	Marks      []PhotoMark   `key:"marks"` // on the lead

	Versions  []*Version // that bear on it, as listed
	Runs      []*Run     // that bear on it, as listed
	Predicted Predicted
}

// Predicted names something that is computed for a version.
type Predicted struct {
	Version *Version // nil: nothing is named
	Name    string   // "run-time/field-2026-04-12/own", as predict names it
}

// Trial is how a question that no run answers is to be measured.
type Trial struct {
	Type       notes.Choice[RunType]         `key:"type,required"`
	Conditions Conditions                    `key:"conditions"`
	Measures   []notes.Choice[Measure]       `key:"measures"`
	Every      notes.Value[quantity.Seconds] `key:"every"`
	Rows       notes.Integer                 `key:"rows"`
	PauseAfter notes.Value[quantity.Seconds] `key:"pause-after"`
	Ends       notes.Word                    `key:"ends"`

	Span finding.Span `key:"@"`
}

// mostRows is the most rows that a run sheet has.
const mostRows = 60

// question reads a question's own keys, and gives the note those that it shares with others.
func (l *loader) question(n *notes.Note, p *NotePage) {
	q := &Question{}
	l.fill(n, KindQuestion, q)
	p.Kind, p.Title, p.Date, p.Summary, p.Held, p.Subjects, p.Question = q.Kind, q.Title, q.Date, q.Summary, q.Held, q.Subjects, q
	p.Lead, p.Gallery, p.Marks = q.Lead, q.Gallery, q.Marks
}

// questions resolves what the questions name, once every place is known.
func (l *loader) questions() {
	for _, p := range l.journal.Questions {
		q := p.Question
		for _, w := range q.Bears {
			place, ok := l.journal.named(w.Text)
			switch {
			case ok && place.Run != nil:
				q.Runs = append(q.Runs, place.Run)
			case ok && place.Version != nil:
				q.Versions = append(q.Versions, place.Version)
			default:
				l.add(finding.Error, RuleBears, w.Span, fmt.Sprintf("`bears`: there is no version or run `%s`%s", w.Text, notes.DidYouMean(w.Text, l.journal.evidenceNames())),
					"write a version as VEHICLE/VERSION, a run as VEHICLE/VERSION/RUN.")
			}
		}
		figures := runlog.FigureNames()
		for _, w := range q.Figures {
			if !slices.Contains(figures, w.Text) {
				l.add(finding.Error, notes.RuleUnknownWord, w.Span, fmt.Sprintf("`figures`: no run has a figure `%s`%s", w.Text, notes.DidYouMean(w.Text, figures)), "write one of "+strings.Join(figures, ", ")+".")
			}
		}
		l.prediction(q)
		if t := q.Trial; t != nil {
			l.share("setting", t.Conditions.Setting)
			positive(l, "every", t.Every)
			notNegative(l, "pause-after", t.PauseAfter)
			if t.Rows.Set && (t.Rows.Value < 1 || t.Rows.Value > mostRows) {
				l.add(finding.Error, notes.RuleImpossibleValue, t.Rows.Span, fmt.Sprintf("`rows`: %d cannot be: a sheet has from 1 to %d rows", t.Rows.Value, mostRows), "write how many rows are to be filled in.")
			}
		}
		if len(q.Runs) == 0 && q.Predicted.Version == nil && len(q.Bears) == len(q.Versions) && !q.Prediction.Set && !p.Note.Broken && q.Kind.Set {
			l.add(finding.Warning, RuleUnanswered, p.Title.Span, "no run bears on this question and nothing is predicted for it", "name runs under `bears:`, or what is computed under `prediction:`.")
		}
	}
}

func (l *loader) prediction(q *Question) {
	w := q.Prediction
	if !w.Set {
		return
	}
	var ok bool
	if q.Predicted, ok = l.journal.answer(w.Text); !ok {
		l.add(finding.Error, RuleBears, w.Span, fmt.Sprintf("`prediction`: `%s` names no version", w.Text), answerRemedy)
	}
}

const answerRemedy = "write VEHICLE/VERSION and what is computed for it, such as shunter/2-lifepo4/run-time/LOAD/own; the version's predictions.json has the names."

// answer finds what is computed for a version by the words that front matter names it with.
func (j *Journal) answer(words string) (Predicted, bool) {
	if parts := strings.SplitN(words, "/", 3); len(parts) == 3 {
		if place, ok := j.place(parts[:2]); ok && place.Version != nil && place.Run == nil {
			return Predicted{place.Version, parts[2]}, true
		}
	}
	return Predicted{}, false
}

// named finds the place of an address as front matter writes it, with or without a slash at its end.
func (j *Journal) named(address string) (Place, bool) {
	return j.place(strings.Split(strings.TrimSuffix(strings.TrimSuffix(address, "/"), ".md"), "/"))
}

// evidenceNames are the addresses of all versions and runs.
func (j *Journal) evidenceNames() []string {
	var out []string
	for _, v := range j.Vehicles {
		for _, version := range v.Versions {
			out = append(out, version.Path())
			for _, r := range version.Runs {
				out = append(out, string(r.ID()))
			}
		}
	}
	return out
}

// Concerned lists the versions that bear on a question, those of the runs that do among them, each once.
func (q *Question) Concerned() []*Version {
	var out []*Version
	add := func(v *Version) {
		if v != nil && !slices.Contains(out, v) {
			out = append(out, v)
		}
	}
	for _, v := range q.Versions {
		add(v)
	}
	for _, r := range q.Runs {
		add(r.Version)
	}
	add(q.Predicted.Version)
	return out
}

// Files are the paths of the notes and logs that bear on a question, its own not among them.
func (q *Question) Files() []string {
	var out []string
	for _, v := range q.Concerned() {
		out = append(out, v.Note.Path)
	}
	for _, r := range q.Runs {
		out = append(out, r.Note.Path)
		if r.Log != nil && r.Log.Path != "" {
			out = append(out, r.Log.Path)
		}
	}
	return out
}

// Addressed is a question's address as a whole, where the journal states its own; else its path on the site.
func (j *Journal) Addressed(path string) string {
	if !j.Address.Set {
		return path
	}
	return strings.TrimSuffix(j.Address.Text, "/") + "/" + path
}

// AsksRunTime tells whether a question is about the running time that is computed for a version, and so about what other packs
// would do.
func (j *Journal) AsksRunTime(v *Version) bool {
	return slices.ContainsFunc(j.Questions, func(n *NotePage) bool {
		return n.Question.Predicted.Version == v && strings.HasPrefix(n.Question.Predicted.Name, "run-time/")
	})
}
