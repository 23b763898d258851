package benchsheet

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/cautions"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/wiringsheet"
)

// benchSheet is the view of the sheet that is pinned above the bench while a version's leads are made up.
type benchSheet struct {
	Version  frame.Link
	Vehicle  frame.Link
	Number   int
	Cautions []string
	Fails    *wiringsheet.VerdictTable
	Cannot   int
	Doubts   []wiringsheet.Doubt // of what does not hold
	CutList  *wiringsheet.CutListView
	Drawing  *wiringsheet.Drawing
	Labels   []leadLabel // two for each lead, one for each end
	Checks   []string    // before it is switched on
	Live     []wiringsheet.Live
	Settings []wiringsheet.Setting
	Parts    []partToTick
	Ends     []wiringsheet.EndsToMake
	Tighten  []wiringsheet.Blank
	Measure  []wiringsheet.Blank
	Words    string // of the version, for the title block of the second page
	Leaf     frame.Leaf
}

// leadLabel is what is put on one end of a lead.
type leadLabel struct{ Text, At string }

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

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Version) error {
	w := rd.Wired(v)
	view := benchSheet{Version: frame.Link{Words: reading.VersionWords(v), Href: s.To(address.Version(v))}, Vehicle: frame.Link{Words: v.Vehicle.Name.Text, Href: s.To(address.Vehicle(v.Vehicle))}, Number: v.Number,
		Cautions: cautions.ForTheBench(v), Checks: beforeSwitchingOn}
	rows := wiringsheet.VerdictRows(rd, s, w)
	view.Cannot = len(rows.Cannot)
	view.Fails = wiringsheet.TableOf(s, rows.Fails, "wiring-fails", "What does not hold as it is specified. Settle it before you cut.")
	for i := range w.Whips {
		whip := &w.Whips[i]
		view.Labels = append(view.Labels, leadLabel{whip.Label, wiringsheet.OnTerminal(whip.A.At)}, leadLabel{whip.Label, wiringsheet.OnTerminal(whip.B.At)})
	}
	view.Live, view.Settings, view.Parts = wiringsheet.StaysLive(rd, s, v, w), settings(v), partsToTick(v)
	view.Ends, view.Tighten, view.Measure = wiringsheet.EndsCounted(w), wiringsheet.Tightened(w), atTheEnd(v)
	view.Words = v.Vehicle.Name.Text + ", version " + reading.VersionNumber(v)
	view.Leaf = frame.NewLeaf("labels", "", "Labels to cut out", numeral.Say("Two for each of "+numeral.Count(len(w.Whips), "lead")+"; open them to print them, on a page of their own."))
	view.Drawing = wiringsheet.SheetDrawing(rd, s, v)
	view.CutList = wiringsheet.CutList(rd, s, v, w)
	view.Doubts = wiringsheet.DoubtsIn(rows.Fails)
	rd.Inspect(s, nil, []string{v.Note.Path})
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Bench sheet", frame.DayOf(frame.Newest(v.Date)), "version "+reading.VersionNumber(v)
	s.Marks, s.Body = true, view
	return nil
}
