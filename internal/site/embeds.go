package site

import (
	"fmt"
	"html/template"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
)

// plotEmbed is a plot in the prose of a note.
func (w *writer) plotEmbed(e *notes.Embed) (template.HTML, bool, error) {
	t, ok := w.target(w.doc.Note.Path, e)
	if !ok || t.Run == nil {
		return "", false, nil
	}
	if c, ok := w.sheet.shown[shownKey(t.Scheme, t.Name, ownerOf(t))]; ok {
		return see(c, e.Words), true, nil
	}
	v, ok, err := w.chartOf(w.sheet, t.Run, t.Name, plainHTML(sentence(e.Words)))
	if err != nil {
		return "", false, err
	}
	if !ok {
		w.notShown(e, fmt.Sprintf("the run %s has no plot `%s`", t.Run.ID(), t.Name), w.plotRemedy(t.Run))
		return "", false, nil
	}
	html, err := w.theme.part("chart", v)
	return html, err == nil, err
}

// tableEmbed is a table in the prose of a note: `results` of a run, `runs` of a vehicle or a version, `run-time` and
// `charge-time` as they are computed for a version.
func (w *writer) tableEmbed(e *notes.Embed) (template.HTML, bool, error) {
	t, ok := w.target(w.doc.Note.Path, e)
	if !ok {
		return "", false, nil
	}
	if c, ok := w.sheet.shown[shownKey(t.Scheme, t.Name, ownerOf(t))]; ok {
		return see(c, e.Words), true, nil
	}
	var view any
	part := ""
	switch {
	case t.Name == "results" && t.Run != nil:
		view, ok = w.results(w.sheet, t.Run, e.Words)
		part = "results"
	case t.Name == "runs" && t.Run == nil && t.Version != nil:
		view, ok = w.runsOf(w.sheet, []*journal.Version{t.Version}, e.Words)
		part = "runs"
	case t.Name == "runs" && t.Run == nil:
		view, ok = w.runsOf(w.sheet, t.Vehicle.Versions, e.Words)
		part = "runs"
	case t.Name == "run-time" && t.Run == nil && t.Version != nil:
		view, ok = w.reaches(w.sheet, t.Version, e.Words)
		part = "run-time"
	case t.Name == "charge-time" && t.Run == nil && t.Version != nil:
		view, ok = w.charges(w.sheet, t.Version, e.Words)
		part = "charge-time"
	case (t.Name == "run-time" || t.Name == "charge-time") && t.Run == nil:
		w.notShown(e, fmt.Sprintf("the table `%s` is computed for a version, and this names a vehicle", t.Name), fmt.Sprintf("name the version, as in `table:VERSION/%s`; `table:runs` has what was measured.", t.Name))
		return "", false, nil
	default:
		w.notShown(e, fmt.Sprintf("there is no table `%s` of this", t.Name), "write `table:RUN/results`, `table:runs`, `table:run-time` or `table:charge-time`.")
		return "", false, nil
	}
	if !ok {
		remedy := "take it out, or add the run that it is about."
		if a := w.answersOf(t.Version); a != nil && a.Err != "" {
			remedy = "the version's running times cannot be computed: " + a.Err
		} else if a != nil && a.Table.None != "" {
			remedy = "add a run that shows a load. " + a.Table.None
		}
		w.notShown(e, "there is nothing to put into this table", remedy)
		return "", false, nil
	}
	html, err := w.theme.part(part, view)
	return html, err == nil, err
}

// shownKey names a plot or table of a run, version or vehicle among what a page shows of itself.
func shownKey(scheme notes.Scheme, name, of string) string {
	return string(scheme) + ":" + name + ":" + of
}

// ownerOf is the path of the run, version or vehicle that an embed is bound to.
func ownerOf(t journal.Target) string {
	switch {
	case t.Run != nil:
		return string(t.Run.ID())
	case t.Version != nil:
		return t.Version.Path()
	}
	return t.Vehicle.Slug
}

func (b *builder) answersOf(v *journal.Version) *predict.Prediction {
	if v == nil {
		return nil
	}
	return b.answers(v)
}

// see points to a figure or table that the page already shows elsewhere.
func see(c caption, words string) template.HTML {
	return template.HTML(fmt.Sprintf("<p class=\"see\"><a href=\"#%s\">%s</a>: %s</p>\n", c.Anchor, c.Label, template.HTMLEscapeString(sentence(words))))
}

// ownWords are the words that a run's own remarks give to one of its plots or tables, "" if they do not embed it.
func (b *builder) ownWords(r *journal.Run, scheme notes.Scheme, name string) string {
	if r.Document == nil {
		return ""
	}
	for _, e := range r.Document.Embeds {
		if e.Scheme != scheme {
			continue
		}
		if t, err := b.in.Journal.Target(r.Place(), e); err == nil && t.Run == r && t.Name == name {
			return e.Words
		}
	}
	return ""
}

// RuleNotShown is the rule of findings about plots, tables and diagrams that a page cannot show.
const RuleNotShown = "embed-not-shown"

// notShown reports an embed whose target is there and has nothing to show.
func (b *builder) notShown(e *notes.Embed, text, remedy string) {
	b.findings.Add(finding.Finding{Rule: RuleNotShown, Level: finding.Error, Span: e.Span, Text: text, Remedy: remedy})
}

func (b *builder) plotRemedy(run *journal.Run) string {
	r := b.result(run)
	if r == nil {
		return "mend the run's evidence first: it could not be computed."
	}
	names := plotNames(r)
	if _, ok := b.predicted(run); ok {
		names = append(names, predictionPlot)
	}
	if len(names) == 0 {
		return "take it out: the run's evidence gives no plot."
	}
	return "write one of " + strings.Join(names, ", ") + "."
}
