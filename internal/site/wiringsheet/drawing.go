package wiringsheet

import (
	"cmp"
	"fmt"
	"html/template"
	"strconv"

	"voltwright/internal/circuit"
	"voltwright/internal/diagram"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// Drawing is a drawing of the wiring as a figure.
type Drawing struct {
	frame.Caption
	Full  template.HTML // with everything written on the leads; "" where the short one comes first
	Short template.HTML // with numbers alone, for a narrow screen; "" where the other does
	Tall  *svgFile      // for a telephone, which shows it whole across; nil where it would be too wide
	Broad bool          // with everything written it is too broad for any page: the short one comes first
	More  *svgFile      // the full one where it is so, if it says more
	Whole *svgFile      // the full one where the page loads it; nil where it is in the page
	Says  string        // of a drawing whose legend is wider than a narrow screen: what it shows, in words
	Files []frame.FileLink
}

// svgFile is a drawing that a page loads from its own file when it is scrolled to or unfolded.
type svgFile struct {
	Href          string
	Width, Height string // CSS pixels
	Says          string // to those who do not see it
}

// The embeds that are drawn: `diagram:wiring` and `diagram:live`.
const (
	PowerDrawing = "wiring"
	LiveDrawing  = "live"
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

// Drawer draws one of a version's drawings with given options.
type Drawer struct {
	Name  string // of its files, without the ending
	draw  func(diagram.Options) drawn
	says  string // of the figure
	live  bool   // what stays live, which its legend says only to those who see all of it
	brief string // of the figure with numbers alone; "" where it says the same
	more  bool   // with everything written it says more than with numbers alone
}

// drawn is what a page takes of a drawing.
type drawn struct {
	SVG         []byte
	Width       float64 // as diagram.Drawing has it, and so the height
	Height      float64
	Description string
}

// drawKept draws, or takes what was drawn before of the same.
func drawKept(rd *reading.Reader, step string, draw func() diagram.Drawing, of ...any) (out drawn) {
	_ = rd.Keep(step, &out, func() error { // which has no error
		d := draw()
		out = drawn{d.SVG, d.Width, d.Height, d.Description}
		return nil
	}, of...)
	return out
}

// Drawers are the drawings of a version: the power path, then what stays live as each cutout or stop is opened.
func Drawers(rd *reading.Reader, w *wiring.Analysis) (power Drawer, live []Drawer) {
	at := shownPoint(w)
	power = Drawer{Name: "power-path", draw: func(o diagram.Options) drawn {
		return drawKept(rd, "power path", func() diagram.Drawing { return diagram.Power(w.Circuit, at, o) }, w.Circuit, at, o)
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
		live = append(live, Drawer{Name: name, live: true, draw: func(o diagram.Options) drawn {
			return drawKept(rd, "still live", func() diagram.Drawing { return diagram.Live(w.Circuit, l, o) }, w.Circuit, l, o)
		},
			says: fmt.Sprintf("What is still live with %s open, and the way back.", w.Circuit.Parts[l.Opened].Name)})
	}
	return power, live
}

// Figure draws a drawing of a version as a figure of a page.
func (d Drawer) Figure(s *frame.Sheet, v *journal.Version, words string) *Drawing {
	c := s.Figure(d.Name)
	full := d.draw(diagram.Options{ID: c.Anchor + "-full"})
	out := &Drawing{Caption: c, Broad: full.Width > broadest}
	says := d.says
	if out.Broad {
		says = cmp.Or(d.brief, says)
	}
	says = numeral.Sentence(cmp.Or(words, says))
	out.Words, out.Quoted = numeral.PlainHTML(says), says
	if full.Width > narrowest {
		out.Short = template.HTML(d.draw(diagram.Options{ID: c.Anchor + "-short", Lettering: diagram.Numbers}).SVG)
	}
	if tall := d.tall(); tall.Width <= diagram.TallWidth {
		out.Tall = d.file(s, v, tallFile, tall)
	}
	switch {
	case !out.Broad:
		out.Full = template.HTML(full.SVG)
	case d.more:
		out.More = d.file(s, v, "", d.draw(diagram.Options{Standalone: true}))
	}
	if d.live {
		out.Says = numeral.OnPage(full.Description)
	}
	s.Drawings = true
	return out
}

// tallFile ends the name of the file that has a drawing for a telephone.
const tallFile = "-tall"

// tall draws it for a telephone.
func (d Drawer) tall() drawn { return d.draw(diagram.Options{Tall: true, Standalone: true}) }

// file is a drawing of a version that a page loads from beside the version's page.
func (d Drawer) file(s *frame.Sheet, v *journal.Version, ending string, of drawn) *svgFile {
	return &svgFile{s.To(address.BesideVersion(v, d.Name+ending+".svg")), strconv.FormatFloat(of.Width, 'f', 0, 64), strconv.FormatFloat(of.Height, 'f', 0, 64), of.Description}
}

// drawingFiles puts a drawing beside a version's page: as it is on a screen, in black and white, and on paper.
func drawingFiles(rd *reading.Reader, s *frame.Sheet, v *journal.Version, d Drawer) ([]frame.FileLink, error) {
	issue := []string{v.Vehicle.Name.Text + ", version " + reading.VersionNumber(v) + ": " + v.Name.Text, rd.Journal.Maker.Name.Text}
	if day := frame.DayOf(v.Date); day != nil {
		issue = append(issue, day.Long)
	}
	var out []frame.FileLink
	for _, f := range []struct {
		ending, words string
		options       diagram.Options
	}{
		{"", "in colour", diagram.Options{}},
		{"-black-and-white", "black and white", diagram.Options{Monochrome: true}},
		{"-a4", "A4", diagram.Options{Paper: diagram.A4, Issue: issue}},
		{"-letter", "Letter", diagram.Options{Paper: diagram.Letter, Issue: issue}},
	} {
		name := d.Name + f.ending + ".svg"
		f.options.Standalone = true
		at := address.BesideVersion(v, name)
		if err := rd.Pages.Put(at, d.draw(f.options).SVG); err != nil {
			return nil, err
		}
		out = append(out, frame.FileLink{Words: f.words, Href: s.To(at), What: name})
	}
	if tall := d.tall(); tall.Width <= diagram.TallWidth {
		return out, rd.Pages.Put(address.BesideVersion(v, d.Name+tallFile+".svg"), tall.SVG)
	}
	return out, nil
}

// Drawings puts a version's drawings on its page.
func Drawings(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *WiringView) error {
	w := rd.Wired(v)
	power, live := Drawers(rd, w)
	view.Drawing = power.Figure(s, v, drawingWords(rd, v, PowerDrawing))
	s.ShowOf(notes.DiagramScheme, PowerDrawing, v.Path(), view.Drawing.Caption)
	var err error
	if view.Drawing.Files, err = drawingFiles(rd, s, v, power); err != nil {
		return err
	}
	for i, d := range live {
		f := d.Figure(s, v, "")
		if f.Files, err = drawingFiles(rd, s, v, d); err != nil {
			return err
		}
		if i == 0 {
			s.ShowOf(notes.DiagramScheme, LiveDrawing, v.Path(), f.Caption)
		}
		view.Live = append(view.Live, f)
	}
	return nil
}

// drawingWords are the words that a version's story gives to its drawing, "" if it does not embed it.
func drawingWords(rd *reading.Reader, v *journal.Version, name string) string {
	if v.Document() == nil {
		return ""
	}
	for _, e := range v.Document().Embeds {
		if e.Scheme != notes.DiagramScheme {
			continue
		}
		if t, err := rd.Journal.Target(v.Place(), e); err == nil && t.Version == v && t.Run == nil && t.Name == name {
			return e.Words
		}
	}
	return ""
}

// SheetDrawing is the power path for a sheet of its own.
func SheetDrawing(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *Drawing {
	power, _ := Drawers(rd, rd.Wired(v))
	c := s.Figure(power.Name)
	o := diagram.Options{ID: c.Anchor + "-full"}
	d, says := power.draw(o), power.says
	if d.Width > lyingWidth {
		o.Lettering = diagram.Numbers // the rest is in the table of leads
		d, says = power.draw(o), power.brief
	}
	c.Words, c.Quoted = numeral.PlainHTML(says), says
	s.Drawings = true
	return &Drawing{Caption: c, Full: template.HTML(d.SVG)}
}
