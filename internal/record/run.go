package record

import (
	"math"

	"voltwright/internal/runlog"
)

// Run is what was measured on one run.
type Run struct {
	Evidence runlog.Evidence `json:"evidence"`
	Dialect  string          `json:"dialect,omitempty"`
	Samples  int             `json:"samples" about:"rows of the log that were measured"`
	LeftOut  int             `json:"leftOut" about:"rows that were not"`
	Figures  []Figure        `json:"figures"`
	Stops    []Stop          `json:"stops"`
	Lines    *Lines          `json:"lines,omitempty"`
	Parts    []LogPart       `json:"parts,omitempty"`
}

// Lines is what became of every line of a log: lines is the sum of head, aside, used and what is left out.
type Lines struct {
	Lines   int       `json:"lines" about:"of the log"`
	Head    int       `json:"head" about:"lines before the rows"`
	Aside   int       `json:"aside" about:"lines that are neither head nor row"`
	Used    int       `json:"used" about:"lines that were measured"`
	LeftOut []LeftOut `json:"leftOut"`
}

// LeftOut is a runlog.LeftOut.
type LeftOut struct {
	Rule string `json:"rule"`
	Rows int    `json:"rows" about:"how many"`
}

// LogPart is a runlog.Part; times in seconds since the first sample of the log, charge in Ah, energy in Wh.
type LogPart struct {
	Name        string          `json:"name"`
	Kind        runlog.PartKind `json:"kind"`
	FirstLine   int             `json:"firstLine" about:"of the log, from 1"`
	LastLine    int             `json:"lastLine" about:"of the log, from 1"`
	Start       float64         `json:"start" about:"s since the first sample"`
	Length      float64         `json:"length" about:"s"`
	ChargeOut   *float64        `json:"chargeOut" about:"Ah"`
	ChargeIn    *float64        `json:"chargeIn" about:"Ah"`
	EnergyOut   *float64        `json:"energyOut" about:"Wh"`
	EnergyIn    *float64        `json:"energyIn" about:"Wh"`
	StartVolts  *float64        `json:"startVoltage" about:"V"`
	EndVolts    *float64        `json:"endVoltage" about:"V"`
	RestVoltage *float64        `json:"restVoltageBefore" about:"V; null: it did not rest"`
}

// Figure is a value under a fixed name.
type Figure struct {
	Name  string `json:"name"`
	Label string `json:"label"`
	Number
	Kind    string  `json:"kind,omitempty"` // measured, computed or quoted, where it is told
	Text    string  `json:"text,omitempty"` // as it is printed, with its expanded uncertainty
	Missing string  `json:"missing,omitempty"`
	Formula string  `json:"formula,omitempty"`
	Note    string  `json:"note,omitempty"`
	Also    []Extra `json:"also,omitempty"` // the same by other rules
}

// Extra is an Extra in a Record.
type Extra struct {
	Label string   `json:"label"`
	Value *float64 `json:"value" about:"in the unit of the figure"`
}

// Stop is a runlog.Stop, in seconds since the first sample.
type Stop struct {
	Start    float64 `json:"start" about:"s since the first sample"`
	Length   float64 `json:"length" about:"s"`
	TakenOut bool    `json:"takenOut"`
}

// OfRun makes the record of what was measured on a run.
func OfRun(r *runlog.Result) Run {
	out := Run{
		Evidence: r.Evidence, Dialect: r.Dialect, Samples: r.Rows, LeftOut: r.Skipped,
		Figures: []Figure{}, Stops: []Stop{},
	}
	for _, f := range r.Figures() {
		j := Figure{
			Name: f.Name, Label: f.Label, Missing: f.Quantity.Why(), Formula: f.Formula, Note: f.Note,
			Number: Number{Unit: f.Dimension.BaseUnit()},
		}
		if q, ok := f.Quantity.Get(); ok {
			j.Value, j.U, j.Text = whole(q.Value), whole(q.U), q.Rounded()
		}
		for _, e := range f.Extra {
			j.Also = append(j.Also, Extra{e.Label, whole(e.Quantity.Value)})
		}
		out.Figures = append(out.Figures, j)
	}
	for _, s := range r.Stops {
		out.Stops = append(out.Stops, Stop{float64(s.Start - r.Start), float64(s.Length), s.TakenOut})
	}
	if a := &r.Accounts; a.Lines > 0 {
		out.Lines = &Lines{Lines: a.Lines, Head: a.Head, Aside: a.Aside, Used: a.Used, LeftOut: []LeftOut{}}
		for _, l := range a.LeftOut {
			out.Lines.LeftOut = append(out.Lines.LeftOut, LeftOut(l))
		}
	}
	for k := range r.Parts {
		p := &r.Parts[k]
		out.Parts = append(out.Parts, LogPart{
			Name: p.Name, Kind: p.Kind, FirstLine: p.FirstLine, LastLine: p.LastLine, Start: float64(p.Start), Length: float64(p.Length),
			ChargeOut: whole(float64(p.ChargeOut)), ChargeIn: whole(float64(p.ChargeIn)),
			EnergyOut: whole(float64(p.EnergyOut)), EnergyIn: whole(float64(p.EnergyIn)),
			StartVolts: whole(float64(p.StartVoltage)), EndVolts: whole(float64(p.EndVoltage)), RestVoltage: whole(float64(p.RestVoltage)),
		})
	}
	return out
}

// whole is a number for JSON with all its digits; JSON has none for what is not known.
func whole(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
