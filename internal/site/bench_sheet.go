package site

import (
	"voltwright/internal/journal"
)

// benchSheet is the view of the sheet that is pinned above the bench while a version's leads are made up.
type benchSheet struct {
	Version  link
	Vehicle  link
	Number   int
	Cautions []string
	Fails    *verdictTable
	Cannot   int
	Doubts   []doubt // of what does not hold
	CutList  *cutListView
	Drawing  *drawing
	Labels   []leadLabel // two for each lead, one for each end
	Checks   []string    // before it is switched on
}

// leadLabel is what is put on one end of a lead.
type leadLabel struct{ Text, At string }

// benchSheetSlug is the name of the page below its version, which no run may have.
const benchSheetSlug = journal.BenchSheetSlug

func benchSheetPage(v *journal.Version) string {
	return v.Path() + "/" + benchSheetSlug + "/index.html"
}

// beforeSwitchingOn is what is looked at with a meter and by hand before the last connection is made. Common practice,
// no source.
var beforeSwitchingOn = []string{
	"Every lead pulled by hand at both ends; nothing moves.",
	"Every lead held against the drawing: number, colour, size, from, to.",
	"Each pack's voltage and polarity measured at the leads before they are joined.",
	"Fuses out: no continuity from positive to negative anywhere behind the packs.",
	"Fuses of the rating on the drawing, the right way for their holder, spare at hand.",
	"Cutout, switch and emergency stop open the circuit: measured, not only heard.",
	"Wheels off the ground for the first start; a person at the stop.",
}

func (b *builder) benchSheet(s *sheet, v *journal.Version) error {
	w := b.wired(v)
	view := benchSheet{Version: link{Words: versionWords(v), Href: s.to(versionPage(v))}, Vehicle: link{Words: v.Vehicle.Name.Text, Href: s.to(vehiclePage(v.Vehicle))}, Number: v.Number,
		Cautions: cautions(v), Checks: beforeSwitchingOn}
	rows := b.verdictRows(s, w)
	view.Cannot = len(rows.cannot)
	view.Fails = s.verdictTable(rows.fails, "wiring-fails", "What does not hold as it is specified. Settle it before you cut.")
	for i := range w.Whips {
		whip := &w.Whips[i]
		view.Labels = append(view.Labels, leadLabel{whip.Label, onTerminal(whip.A.At)}, leadLabel{whip.Label, onTerminal(whip.B.At)})
	}
	view.Drawing = b.sheetDrawing(s, v)
	view.CutList = b.cutList(s, v, w)
	view.Doubts = doubtsIn(rows.fails)
	b.inspect(s, nil, []string{v.Note.Path})
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Bench sheet", dayOf(newest(v.Date)), "version "+versionNumber(v)
	s.Marks, s.Body = true, view
	return nil
}
