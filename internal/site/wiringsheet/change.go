package wiringsheet

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/diagram"
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// ChangeDrawing names the files that have a drawing of what a version changes.
const ChangeDrawing = "what-changed"

// changeDrawer draws what a version changes of the wiring of the version before; false where nothing is changed, or where one of the two
// has no wiring.
func changeDrawer(rd *reading.Reader, v *journal.Version) (Drawer, bool) {
	now, before, r := revised(rd, v)
	if now == nil || r.Empty() {
		return Drawer{}, false
	}
	is, was := reading.VersionNumber(v), reading.VersionNumber(v.Before)
	title := fmt.Sprintf("Version %s: what changed since version %s", is, was)
	return Drawer{Name: ChangeDrawing, says: fmt.Sprintf("What version %s changes in the wiring of version %s.", is, was) + " What is new or of other values has a triangle with the version's number; what is taken out is dashed.", draw: func(o diagram.Options) drawn {
		o.Title = title
		return drawKept(rd, "what changed", func() diagram.Drawing {
			return diagram.Change(diagram.Issue{Circuit: now.Circuit, Number: is}, diagram.Issue{Circuit: before.Circuit, Number: was}, o)
		}, now.Circuit, before.Circuit, is, was, o)
	}}, true
}

// Changed is the drawing of what a version changes in the wiring, as a figure that the page loads when it is unfolded; nil where there
// is nothing to draw.
func Changed(rd *reading.Reader, s *frame.Sheet, v *journal.Version) (*Drawing, error) {
	d, ok := changeDrawer(rd, v)
	if !ok {
		return nil, nil
	}
	whole := d.draw(diagram.Options{Standalone: true})
	out := &Drawing{Caption: s.Figure(d.Name), Whole: d.file(s, v, "", whole), Broad: whole.Width > narrowest}
	out.Words, out.Quoted = numeral.PlainHTML(d.says), d.says
	if tall := d.tall(); tall.Width <= diagram.TallWidth {
		out.Tall = d.file(s, v, tallFile, tall)
	}
	var err error
	out.Files, err = drawingFiles(rd, s, v, d)
	return out, err
}

// sinceBefore is what a cut list says of the version before: what stays, what is taken out and what is bought for the others.
type sinceBefore struct {
	Before  frame.Link
	Drawing string // address of the drawing of it
	Face    string
	TakeOut []string // leads by the numbers that they had
	Go      []string // parts
	Buy     []numeral.Phrase
	stays   map[int]bool
}

// since is what a cut list says of the version before; nil where that has no wiring.
func since(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *sinceBefore {
	now, before, r := revised(rd, v)
	if now == nil {
		return nil
	}
	out := &sinceBefore{Before: linkBefore(s, v), Face: revisionFace(r), stays: map[int]bool{}}
	if !r.Empty() {
		out.Drawing = s.To(address.BesideVersion(v, ChangeDrawing+".svg"))
	}
	for _, i := range r.TakeOut {
		out.TakeOut = append(out.TakeOut, before.Whips[i].Label)
	}
	for _, i := range r.GoneParts {
		out.Go = append(out.Go, before.Circuit.Parts[i].Name)
	}
	for _, i := range r.Keep {
		out.stays[i] = true
	}
	if len(r.Keep) > 0 {
		out.Buy = buyFor(now.Circuit, r.MakeUp)
	}
	return out
}

// buyFor says how much of each conductor some leads of a circuit take.
func buyFor(c *circuit.Circuit, which []int) (out []numeral.Phrase) {
	some := &circuit.Circuit{Parts: c.Parts}
	for _, i := range which {
		some.Leads = append(some.Leads, c.Leads[i])
	}
	_, totals := some.CutList(wiring.CutAllowance)
	for i, t := range totals {
		if i > 0 {
			out = append(out, numeral.Say("; "))
		}
		what := strings.TrimSpace(sizeWords(t.Size) + " " + colourWords(t.Colour, t.Stripe))
		if what == "" {
			what = "conductor not stated"
		}
		if t.With > 0 {
			out = append(out, numeral.SayNumber(numeral.MetresUp(t.With)), numeral.Say(" of "+what))
		} else {
			out = append(out, numeral.Say(what+", its length not stated"))
		}
	}
	return out
}

// fateOf is what becomes of a lead, in a word for a table; "" where there is no version before.
func fateOf(r circuit.Revision, lead int) string {
	switch {
	case slices.Contains(r.Keep, lead):
		return "keep"
	case slices.Contains(r.MakeUp, lead):
		return "make up"
	}
	return ""
}
