package site

import (
	"fmt"
	"html/template"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
)

// plotEmbed is a plot in the prose of a note.
func (w *writer) plotEmbed(e *notes.Embed) (template.HTML, bool, error) {
	t, ok := w.target(w.doc.Note.Path, e)
	if !ok || t.Run == nil {
		return "", false, nil
	}
	if c, ok := w.sheet.shown[shownKey(t)]; ok {
		return see(c, e.Words), true, nil
	}
	v, ok, err := w.chartOf(w.sheet, t.Run, t.Name, plainHTML(sentence(e.Words)))
	if err != nil {
		return "", false, err
	}
	if !ok {
		w.notShown(e, fmt.Sprintf("the run %s has no plot `%s`", t.Run.ID(), t.Name), plotRemedy(w.result(t.Run)))
		return "", false, nil
	}
	html, err := w.theme.part("chart", v)
	return html, err == nil, err
}

// tableEmbed is a computed table in the prose of a note: `results` of a run, `run-time` of a vehicle or a version.
func (w *writer) tableEmbed(e *notes.Embed) (template.HTML, bool, error) {
	t, ok := w.target(w.doc.Note.Path, e)
	if !ok {
		return "", false, nil
	}
	if c, ok := w.sheet.shown[shownKey(t)]; ok {
		return see(c, e.Words), true, nil
	}
	var view any
	part := ""
	switch {
	case t.Name == "results" && t.Run != nil:
		view, ok = w.results(w.sheet, t.Run, e.Words)
		part = "results"
	case t.Name == "run-time" && t.Run == nil && t.Version != nil:
		view, ok = w.runTimes(w.sheet, []*journal.Version{t.Version}, e.Words)
		part = "run-time"
	case t.Name == "run-time" && t.Run == nil:
		view, ok = w.runTimes(w.sheet, t.Vehicle.Versions, e.Words)
		part = "run-time"
	default:
		w.notShown(e, fmt.Sprintf("there is no table `%s` of this", t.Name), "write `table:RUN/results` or `table:run-time`.")
		return "", false, nil
	}
	if !ok {
		w.notShown(e, "there is nothing to put into this table", "take it out, or add the run that it is about.")
		return "", false, nil
	}
	html, err := w.theme.part(part, view)
	return html, err == nil, err
}

// shownKey names what an embed is bound to among what a page shows of itself.
func shownKey(t journal.Target) string { return string(t.Scheme) + ":" + t.Name + ":" + runID(t.Run) }

func runID(r *journal.Run) string {
	if r == nil {
		return ""
	}
	return string(r.ID())
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

func plotRemedy(r *runlog.Result) string {
	if r == nil {
		return "mend the run's evidence first: it could not be computed."
	}
	names := plotNames(r)
	if len(names) == 0 {
		return "take it out: the run's evidence gives no plot."
	}
	return "write one of " + strings.Join(names, ", ") + "."
}
