package reading

import (
	"crypto/sha256"
	"fmt"
	"math"
	"path"
	"slices"

	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/study"
	"voltwright/internal/wiring"
)

// sameLoad is how far the loads of two bench runs may lie apart, as a part of the greater, to count as one: common
// practice, no source.
const sameLoad = 0.1

// OfType are the runs of one type of a version.
func OfType(v *journal.Version, kind journal.RunType) []*journal.Run {
	var out []*journal.Run
	for _, r := range v.Runs {
		if r.Type.Value == kind {
			out = append(out, r)
		}
	}
	return out
}

// Unlike says why two runs cannot be held against each other; bench runs must have had the same load as well.
func (rd *Reader) Unlike(a, c *journal.Run) []string {
	why := journal.Unlike(a, c)
	if len(why) > 0 || a.Type.Value != journal.Bench {
		return why
	}
	p, ok := rd.MeanPower(a).Get()
	q, too := rd.MeanPower(c).Get()
	switch {
	case !ok || !too:
		return []string{"the load of one is not known"}
	case math.Abs(float64(p-q)) > sameLoad*float64(max(p, q)):
		return []string{fmt.Sprintf("the load was %.0f W and %.0f W", float64(p), float64(q))}
	}
	return nil
}

// MeanPower is the energy over the running time of a run; absent where one of them is, or where it did not run.
func (rd *Reader) MeanPower(r *journal.Run) quantity.Optional[quantity.Watts] {
	energy, ok := rd.FigureValue(r, "energy-out").Get()
	time, ran := rd.FigureValue(r, "running-time").Get()
	if !ok || !ran || !(time.Value > 0) {
		return quantity.None[quantity.Watts]("The energy or the running time of the run is not known.")
	}
	return quantity.Some(quantity.Watts(energy.Value * 3600 / time.Value))
}

// FigureValue is a figure of a run; absent where the run was not computed or has no figure of that name.
func (rd *Reader) FigureValue(r *journal.Run, name string) quantity.Optional[quantity.Quantity] {
	for _, f := range rd.Figures(r) {
		if f.Name == name {
			return f.Quantity
		}
	}
	return quantity.None[quantity.Quantity]("The run gives no such figure.")
}

// Driven is how a version drives, nil where it states nothing of a drive.
func (rd *Reader) Driven(v *journal.Version) *drivetrain.Performance {
	if rd.Results == nil {
		return nil
	}
	return rd.Results.Drive(v.Path())
}

// Figures are the figures of a run, nil where it was not computed.
func (rd *Reader) Figures(r *journal.Run) []runlog.Figure {
	id := r.ID()
	if have, ok := rd.FiguresOf[id]; ok {
		return have
	}
	var list []runlog.Figure
	if result := rd.Result(r); result != nil {
		list = result.Figures()
	}
	rd.FiguresOf[id] = list
	return list
}

// Result is what a run came to, nil where it was not computed.
func (rd *Reader) Result(r *journal.Run) *runlog.Result {
	if rd.Results == nil {
		return nil
	}
	return rd.Results.Run(r.ID())
}

// Figure is one figure of a run as it is printed on page s, with a link to its line in the run's table of results.
func (rd *Reader) Figure(s *frame.Sheet, r *journal.Run, name string) numeral.Numeral {
	for _, f := range rd.Figures(r) {
		if q, ok := f.Quantity.Get(); ok && f.Name == name {
			return rd.Units(numeral.Printed(q, numeral.FigureKind(name), s.To(address.Run(r)+"#"+address.ResultAnchor(name))))
		}
	}
	return numeral.Numeral{}
}

// Units gives a value in the systems of units that the journal names.
func (rd *Reader) Units(n numeral.Numeral) numeral.Numeral { return n.InSystems(rd.Journal.Units) }

// Twins names the system of the twins that stand beside values.
func (rd *Reader) Twins() string {
	if systems := rd.Journal.Units; len(systems) > 0 && systems[0].Value == journal.US {
		return "Metric"
	}
	return "US customary"
}

// Target resolves what an embed of a note is bound to. Where it is bound to nothing, inspection has said so.
func (rd *Reader) Target(note string, e *notes.Embed) (journal.Target, bool) {
	at, ok := rd.Journal.PlaceOf(note)
	if !ok {
		return journal.Target{}, false
	}
	t, err := rd.Journal.Target(at, e)
	return t, err == nil
}

// Answers is what is computed of a version's packs, nil where nothing was asked.
func (rd *Reader) Answers(v *journal.Version) *predict.Prediction {
	if rd.Results == nil {
		return nil
	}
	return rd.Results.Prediction(v.Path())
}

// FormulaLink leads to the entry of a formula.
func (rd *Reader) FormulaLink(s *frame.Sheet, name string) string {
	return rd.MethodLink(s, finding.FormulaDoc, name)
}

// RunLink leads to a run by its path.
func (rd *Reader) RunLink(s *frame.Sheet, v *journal.Version, id string) frame.Link {
	for _, r := range v.Runs {
		if string(r.ID()) == id {
			return frame.Link{Words: RunWords(r), Href: s.To(address.Run(r)), Note: r.Name.Text}
		}
	}
	return frame.Link{Words: path.Base(id)}
}

// ChemistryOf names the chemistry of a version's packs within a sentence.
func ChemistryOf(v *journal.Version) string {
	if bank := study.Bank(v); bank.Check() == nil {
		return bank.Packs[0].Chemistry.Title
	}
	return "the chemistry"
}

// TraceOf is the trace of a channel, nil where it has fewer than two points.
func TraceOf(traces []runlog.Trace, c runlog.Channel) *runlog.Trace {
	i := slices.IndexFunc(traces, func(t runlog.Trace) bool { return t.Channel == c && len(t.T) > 1 })
	if i < 0 {
		return nil
	}
	return &traces[i]
}

// Moves tells whether a run is one of which the running time counts.
func Moves(run *journal.Run) bool {
	return run.Type.Value != journal.Charge && run.Type.Value != journal.Rest
}

// OpenedCutout is the opening of the version's cutout, nil where the run has none or the log alone suggests it.
func OpenedCutout(r *runlog.Result) *runlog.CutoutEvent {
	if r == nil || r.Cutout == nil || r.Cutout.Inferred {
		return nil
	}
	return r.Cutout
}

// CheckOf is the prediction of a run, nil where there is none.
func (rd *Reader) CheckOf(r *journal.Run) *predict.Validation {
	a := rd.Answers(r.Version)
	if a == nil {
		return nil
	}
	for i := range a.Validations {
		if a.Validations[i].Run == string(r.ID()) {
			return &a.Validations[i]
		}
	}
	return nil
}

// RunTypes are the types of run in the order of tables.
var RunTypes = []journal.RunType{journal.Field, journal.Bench, journal.Charge, journal.Rest}

// TypeHead is what runs of a type are called as the head of a table.
func TypeHead(t journal.RunType) string {
	switch t {
	case journal.Field:
		return "Field runs"
	case journal.Bench:
		return "Bench runs"
	case journal.Charge:
		return "Charges"
	}
	return "Rests"
}

// Best is the run that answers "how long does it run?" for a version: the latest field run that the cutout ended, else the
// longest field run; failing those the same of bench runs. Nil where no run has a running time.
func (rd *Reader) Best(v *journal.Version) *journal.Run {
	for _, kind := range []journal.RunType{journal.Field, journal.Bench} {
		var best *journal.Run
		longest, down := 0.0, false
		for _, r := range v.Runs {
			f, ok := rd.Results.Figure(r.ID(), "running-time")
			time, known := f.Quantity.Get()
			if r.Type.Value != kind || !ok || !known {
				continue
			}
			ended := OpenedCutout(rd.Result(r)) != nil
			if best == nil || ended || !down && time.Value > longest {
				best, longest, down = r, time.Value, down || ended
			}
		}
		if best != nil {
			return best
		}
	}
	return nil
}

// Wired is a version's wiring as it was computed; nil where it states none.
func (rd *Reader) Wired(v *journal.Version) *wiring.Analysis {
	if rd.Results == nil {
		return nil
	}
	return rd.Results.Circuit(v.Path())
}

// LeadsTold tells of a version's wiring whether any operating point of it was solved, and whether it has leads that are made up; by what was
// known of it before where it was computed before.
func (rd *Reader) LeadsTold(v *journal.Version) (solved, madeUp bool) {
	var told struct{ Solved, MadeUp bool }
	compute := func() error {
		if w := rd.Wired(v); w != nil {
			told.Solved, told.MadeUp = len(w.Solutions) > 0, len(w.Whips) > 0
		}
		return nil
	}
	var rests [sha256.Size]byte
	ok := false
	if rd.KeepPages && rd.Steps != nil && rd.Journal.Folder != nil {
		rests, ok = rd.Steps.Rests()
	}
	if ok {
		_ = rd.Keep("what is told of leads", &told, compute, v.Path(), rests[:]) // computing does not fail
	} else {
		_ = compute()
	}
	return told.Solved, told.MadeUp
}
