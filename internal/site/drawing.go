package site

import (
	"fmt"
	"html/template"
	"path"

	"voltwright/internal/circuit"
	"voltwright/internal/diagram"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/wiring"
)

// drawing is a drawing of the wiring as a figure.
type drawing struct {
	caption
	Full  template.HTML // with everything written on the leads
	Short template.HTML // with numbers alone, for a narrow screen; "" where the other does
	Broad bool          // with everything written it is too broad for any page: the short one comes first
	More  bool          // and the full one says more
	Says  string        // of a drawing whose legend is wider than a narrow screen: what it shows, in words
	Files []fileLink
}

// The embeds that are drawn: `diagram:wiring` and `diagram:live`.
const (
	powerDrawing = "wiring"
	liveDrawing  = "live"
)

// broadest is the width in CSS pixels of a drawing that the widest page shows whole with letters of ten pixels.
const broadest = 1480

// lyingWidth is the width of a drawing that has capitals of 2 mm on a lying sheet of A4, 255 mm within its frame.
const lyingWidth = 1100

// narrowest is the width of a drawing that a narrow screen shows as it is.
const narrowest = 560

// shownPoint is the operating point whose currents stand on the power path: cruising, else the first that was solved.
func shownPoint(w *wiring.Analysis) *circuit.Solution {
	for _, s := range w.Solutions {
		if s.Point.Kind == circuit.Cruise {
			return s
		}
	}
	if len(w.Solutions) > 0 {
		return w.Solutions[0]
	}
	return nil
}

// drawer draws one of a version's drawings with given options.
type drawer struct {
	name  string // of its files, without the ending
	draw  func(diagram.Options) drawn
	says  string // of the figure
	live  bool   // what stays live, which its legend says only to those who see all of it
	brief string // of the figure with numbers alone; "" where it says the same
	more  bool   // with everything written it says more than with numbers alone
}

// drawn is what a page takes of a drawing.
type drawn struct {
	SVG         []byte
	Width       float64 // as diagram.Drawing has it
	Description string
}

// drawKept draws, or takes what was drawn before of the same.
func drawKept(steps Steps, step string, draw func() diagram.Drawing, of ...any) drawn {
	var out drawn
	compute := func() error {
		d := draw()
		out = drawn{d.SVG, d.Width, d.Description}
		return nil
	}
	if steps == nil {
		_ = compute() // it has no error
	} else {
		_ = steps.Keep(step, &out, compute, of...)
	}
	return out
}

// drawers are the drawings of a version: the power path, then what stays live as each cutout or stop is opened.
func drawers(w *wiring.Analysis, steps Steps) (power drawer, live []drawer) {
	at := shownPoint(w)
	power = drawer{name: "power-path", draw: func(o diagram.Options) drawn {
		return drawKept(steps, "power path", func() diagram.Drawing { return diagram.Power(w.Circuit, at, o) }, w.Circuit, at, o)
	}, says: "The power path, drawn from the wiring as it is specified.",
		brief: "The power path, drawn from the wiring as it is specified, the leads by their numbers and colours.", more: true}
	if at != nil {
		power.says = fmt.Sprintf("The power path, drawn from the wiring as it is specified. Currents, where they are written, are those at the point %s.", at.Point.Name)
	}
	for i, l := range w.Live {
		name := "still-live"
		if len(w.Live) > 1 {
			name = fmt.Sprintf("still-live-%d", i+1)
		}
		live = append(live, drawer{name: name, live: true, draw: func(o diagram.Options) drawn {
			return drawKept(steps, "still live", func() diagram.Drawing { return diagram.Live(w.Circuit, l, o) }, w.Circuit, l, o)
		},
			says: fmt.Sprintf("What is still live with %s open, and the way back.", w.Circuit.Parts[l.Opened].Name)})
	}
	return power, live
}

// figure draws a drawing as a figure of a page.
func (d drawer) figure(s *sheet, words string) *drawing {
	c := s.figure(d.name)
	full := d.draw(diagram.Options{ID: c.Anchor + "-full"})
	out := &drawing{caption: c, Full: template.HTML(full.SVG), Broad: full.Width > broadest}
	says := d.says
	if out.Broad {
		says = or(d.brief, says)
	}
	says = sentence(or(words, says))
	out.Words, out.Quoted = plainHTML(says), says
	if full.Width > narrowest {
		out.Short = template.HTML(d.draw(diagram.Options{ID: c.Anchor + "-short", Lettering: diagram.Numbers}).SVG)
	}
	out.More = out.Broad && d.more
	if d.live {
		out.Says = onPage(full.Description)
	}
	s.Drawings = true
	return out
}

// files puts a drawing beside a version's page: as it is on a screen, in black and white, and on paper.
func (b *builder) drawingFiles(s *sheet, v *journal.Version, d drawer) ([]fileLink, error) {
	issue := []string{v.Vehicle.Name.Text + ", version " + versionNumber(v) + ": " + v.Name.Text, b.in.Journal.Maker.Name.Text}
	if day := dayOf(v.Date); day != nil {
		issue = append(issue, day.Long)
	}
	var out []fileLink
	for _, f := range []struct {
		ending, words string
		options       diagram.Options
	}{
		{"", "in colour", diagram.Options{}},
		{"-black-and-white", "black and white", diagram.Options{Monochrome: true}},
		{"-a4", "A4", diagram.Options{Paper: diagram.A4, Issue: issue}},
		{"-letter", "Letter", diagram.Options{Paper: diagram.Letter, Issue: issue}},
	} {
		name := d.name + f.ending + ".svg"
		f.options.Standalone = true
		at := besideVersion(v, name)
		if err := b.pages.put(at, d.draw(f.options).SVG); err != nil {
			return nil, err
		}
		out = append(out, fileLink{Words: f.words, Href: s.to(at), What: name})
	}
	return out, nil
}

// drawings puts a version's drawings on its page.
func (b *builder) drawings(s *sheet, v *journal.Version, view *wiringView) error {
	w := b.wired(v)
	power, live := drawers(w, b.in.Steps)
	view.Drawing = power.figure(s, b.drawingWords(v, powerDrawing))
	s.showOf(notes.DiagramScheme, powerDrawing, v.Path(), view.Drawing.caption)
	var err error
	if view.Drawing.Files, err = b.drawingFiles(s, v, power); err != nil {
		return err
	}
	for i, d := range live {
		f := d.figure(s, "")
		if f.Files, err = b.drawingFiles(s, v, d); err != nil {
			return err
		}
		if i == 0 {
			s.showOf(notes.DiagramScheme, liveDrawing, v.Path(), f.caption)
		}
		view.Live = append(view.Live, f)
	}
	return nil
}

// drawingWords are the words that a version's story gives to its drawing, "" if it does not embed it.
func (b *builder) drawingWords(v *journal.Version, name string) string {
	if v.Document == nil {
		return ""
	}
	for _, e := range v.Document.Embeds {
		if e.Scheme != notes.DiagramScheme {
			continue
		}
		if t, err := b.in.Journal.Target(v.Place(), e); err == nil && t.Version == v && t.Run == nil && t.Name == name {
			return e.Words
		}
	}
	return ""
}

// sheetDrawing is the power path for a sheet of its own.
func (b *builder) sheetDrawing(s *sheet, v *journal.Version) *drawing {
	power, _ := drawers(b.wired(v), b.in.Steps)
	c := s.figure(power.name)
	o := diagram.Options{ID: c.Anchor + "-full"}
	d, says := power.draw(o), power.says
	if d.Width > lyingWidth {
		o.Lettering = diagram.Numbers // the rest is in the table of leads
		d, says = power.draw(o), power.brief
	}
	c.Words, c.Quoted = plainHTML(says), says
	s.Drawings = true
	return &drawing{caption: c, Full: template.HTML(d.SVG)}
}

// diagramEmbed is a drawing in the prose of a note.
func (w *writer) diagramEmbed(e *notes.Embed) (template.HTML, bool, error) {
	t, ok := w.target(w.doc.Note.Path, e)
	if !ok {
		return "", false, nil
	}
	if c, ok := w.sheet.shown[shownKey(t.Scheme, t.Name, ownerOf(journal.Target{Vehicle: t.Vehicle, Version: t.Version}))]; ok {
		return see(c, e.Words), true, nil
	}
	switch {
	case t.Name != powerDrawing && t.Name != liveDrawing:
		w.notShown(e, fmt.Sprintf("there is no drawing `%s`%s", t.Name, notes.DidYouMean(t.Name, []string{powerDrawing, liveDrawing})), "write `diagram:wiring` for the power path, or `diagram:live` for what stays live when a cutout or a stop is open.")
		return "", false, nil
	case t.Version == nil:
		w.notShown(e, fmt.Sprintf("`%s` is drawn for a version, and this names a vehicle", t.Name), fmt.Sprintf("name the version, as in `diagram:VERSION/%s`.", t.Name))
		return "", false, nil
	}
	wired := w.wired(t.Version)
	if wired == nil {
		w.notShown(e, "there is no wiring to draw", "add `wiring:` to "+path.Base(t.Version.Note.Path)+" of that version, or take the drawing out.")
		return "", false, nil
	}
	power, live := drawers(wired, w.in.Steps)
	if t.Name == powerDrawing {
		live = []drawer{power}
	}
	if len(live) == 0 {
		w.notShown(e, "nothing in the wiring is opened to make it dead: it has no cutout, no emergency stop and no switch", "take the drawing out.")
		return "", false, nil
	}
	var html template.HTML
	for i, d := range live {
		words := e.Words
		if i > 0 {
			words = ""
		}
		f := d.figure(w.sheet, words)
		f.Files = []fileLink{{Words: "its version", Href: w.sheet.to(versionPage(t.Version)) + "#wiring"}}
		part, err := w.theme.part("drawing", f)
		if err != nil {
			return "", false, err
		}
		html += part
	}
	return html, true, nil
}
