package prose

import (
	"fmt"
	"html/template"
	"path"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/charts"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/results"
	"voltwright/internal/site/wiringsheet"
)

// plotEmbed is a plot in the prose of a note.
func (w *writer) plotEmbed(e *notes.Embed) (template.HTML, bool, error) {
	t, ok := w.Target(w.doc.Note.Path, e)
	if !ok || t.Run == nil {
		return "", false, nil
	}
	if c, ok := w.sheet.ShownOf(t.Scheme, t.Name, ownerOf(t)); ok {
		return see(c, e.Words), true, nil
	}
	v, ok, err := charts.Of(w.Reader, w.sheet, t.Run, t.Name, numeral.PlainHTML(numeral.Sentence(e.Words)))
	if err != nil {
		return "", false, err
	}
	if !ok {
		w.NotShown(e, fmt.Sprintf("the run %s has no plot `%s`", t.Run.ID(), t.Name), charts.PlotRemedy(w.Reader, t.Run))
		return "", false, nil
	}
	html, err := w.Theme.Part("chart", v)
	return html, err == nil, err
}

// tableEmbed is a table in the prose of a note: `results` of a run, `runs` of a vehicle or a version, `run-time` and
// `charge-time` as they are computed for a version.
func (w *writer) tableEmbed(e *notes.Embed) (template.HTML, bool, error) {
	t, ok := w.Target(w.doc.Note.Path, e)
	if !ok {
		return "", false, nil
	}
	if c, ok := w.sheet.ShownOf(t.Scheme, t.Name, ownerOf(t)); ok {
		return see(c, e.Words), true, nil
	}
	var view any
	part := ""
	switch {
	case t.Name == "results" && t.Run != nil:
		view, ok = results.Table(w.Reader, w.sheet, t.Run, e.Words)
		part = "results"
	case t.Name == "runs" && t.Run == nil && t.Version != nil:
		view, ok = results.RunsTable(w.Reader, w.sheet, []*journal.Version{t.Version}, e.Words)
		part = "runs"
	case t.Name == "runs" && t.Run == nil:
		view, ok = results.RunsTable(w.Reader, w.sheet, t.Vehicle.Versions, e.Words)
		part = "runs"
	case t.Name == "run-time" && t.Run == nil && t.Version != nil:
		view, ok = forecast.RunTimes(w.Reader, w.sheet, t.Version, e.Words)
		part = "run-time"
	case t.Name == "charge-time" && t.Run == nil && t.Version != nil:
		view, ok = forecast.Charges(w.Reader, w.sheet, t.Version, e.Words)
		part = "charge-time"
	case (t.Name == "run-time" || t.Name == "charge-time") && t.Run == nil:
		w.NotShown(e, fmt.Sprintf("the table `%s` is computed for a version, and this names a vehicle", t.Name), fmt.Sprintf("name the version, as in `table:VERSION/%s`; `table:runs` has what was measured.", t.Name))
		return "", false, nil
	default:
		w.NotShown(e, fmt.Sprintf("there is no table `%s` of this", t.Name), "write `table:RUN/results`, `table:runs`, `table:run-time` or `table:charge-time`.")
		return "", false, nil
	}
	if !ok {
		remedy := "take it out, or add the run that it is about."
		if a := w.AnswersOf(t.Version); a != nil && a.Err != "" {
			remedy = "the version's running times cannot be computed: " + a.Err
		} else if a != nil && a.Table.None != "" {
			remedy = "add a run that shows a load. " + a.Table.None
		}
		w.NotShown(e, "there is nothing to put into this table", remedy)
		return "", false, nil
	}
	html, err := w.Theme.Part(part, view)
	return html, err == nil, err
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

// see points to a figure or table that the page already shows elsewhere.
func see(c frame.Caption, words string) template.HTML {
	return template.HTML(fmt.Sprintf("<p class=\"see\"><a href=\"#%s\">%s</a>: %s</p>\n", c.Anchor, c.Label, template.HTMLEscapeString(numeral.Sentence(words))))
}

// OwnWords are the words that a run's own remarks give to one of its plots or tables, "" if they do not embed it.
func OwnWords(rd *reading.Reader, r *journal.Run, scheme notes.Scheme, name string) string {
	if r.Document() == nil {
		return ""
	}
	for _, e := range r.Document().Embeds {
		if e.Scheme != scheme {
			continue
		}
		if t, err := rd.Journal.Target(r.Place(), e); err == nil && t.Run == r && t.Name == name {
			return e.Words
		}
	}
	return ""
}

// diagramEmbed is a drawing in the prose of a note.
func (w *writer) diagramEmbed(e *notes.Embed) (template.HTML, bool, error) {
	t, ok := w.Target(w.doc.Note.Path, e)
	if !ok {
		return "", false, nil
	}
	if c, ok := w.sheet.ShownOf(t.Scheme, t.Name, ownerOf(journal.Target{Vehicle: t.Vehicle, Version: t.Version})); ok {
		return see(c, e.Words), true, nil
	}
	switch {
	case t.Name != wiringsheet.PowerDrawing && t.Name != wiringsheet.LiveDrawing:
		w.NotShown(e, fmt.Sprintf("there is no drawing `%s`%s", t.Name, notes.DidYouMean(t.Name, []string{wiringsheet.PowerDrawing, wiringsheet.LiveDrawing})), "write `diagram:wiring` for the power path, or `diagram:live` for what stays live when a cutout or a stop is open.")
		return "", false, nil
	case t.Version == nil:
		w.NotShown(e, fmt.Sprintf("`%s` is drawn for a version, and this names a vehicle", t.Name), fmt.Sprintf("name the version, as in `diagram:VERSION/%s`.", t.Name))
		return "", false, nil
	}
	wired := w.Wired(t.Version)
	if wired == nil {
		w.NotShown(e, "there is no wiring to draw", "add `wiring:` to "+path.Base(t.Version.Note.Path)+" of that version, or take the drawing out.")
		return "", false, nil
	}
	power, live := wiringsheet.Drawers(w.Reader, wired)
	if t.Name == wiringsheet.PowerDrawing {
		live = []wiringsheet.Drawer{power}
	}
	if len(live) == 0 {
		w.NotShown(e, "nothing in the wiring is opened to make it dead: it has no cutout, no emergency stop and no switch", "take the drawing out.")
		return "", false, nil
	}
	var html template.HTML
	for i, d := range live {
		words := e.Words
		if i > 0 {
			words = ""
		}
		f := d.Figure(w.sheet, t.Version, words)
		f.Files = []frame.FileLink{{Words: "its version", Href: w.sheet.To(address.Version(t.Version)) + "#wiring"}}
		part, err := w.Theme.Part("drawing", f)
		if err != nil {
			return "", false, err
		}
		html += part
	}
	return html, true, nil
}
