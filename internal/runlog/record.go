package runlog

import "math"

// Record is a Result in the form in which it is handed on as JSON: values in base units, standard uncertainties (k = 1),
// null where a number is not known.
type Record struct {
	Evidence Evidence       `json:"evidence"`
	Dialect  string         `json:"dialect,omitempty"`
	Samples  int            `json:"samples"`
	LeftOut  int            `json:"leftOut"`
	Figures  []FigureRecord `json:"figures"`
	Stops    []StopRecord   `json:"stops"`
	Lines    *LinesRecord   `json:"lines,omitempty"`
	Parts    []PartRecord   `json:"parts,omitempty"`
}

// LinesRecord is what became of every line of a log: lines is the sum of head, aside, used and what is left out.
type LinesRecord struct {
	Lines   int             `json:"lines"`
	Head    int             `json:"head"`
	Aside   int             `json:"aside"`
	Used    int             `json:"used"`
	LeftOut []LeftOutRecord `json:"leftOut"`
}

// LeftOutRecord is a LeftOut in a Record.
type LeftOutRecord struct {
	Rule string `json:"rule"`
	Rows int    `json:"rows"`
}

// PartRecord is a Part in a Record; times in seconds since the first sample of the log, charge in Ah, energy in Wh.
type PartRecord struct {
	Name        string   `json:"name"`
	Kind        PartKind `json:"kind"`
	FirstLine   int      `json:"firstLine"`
	LastLine    int      `json:"lastLine"`
	Start       float64  `json:"start"`
	Length      float64  `json:"length"`
	ChargeOut   *float64 `json:"chargeOut"`
	ChargeIn    *float64 `json:"chargeIn"`
	EnergyOut   *float64 `json:"energyOut"`
	EnergyIn    *float64 `json:"energyIn"`
	StartVolts  *float64 `json:"startVoltage"`
	EndVolts    *float64 `json:"endVoltage"`
	RestVoltage *float64 `json:"restVoltageBefore"`
}

// FigureRecord is a Figure in a Record.
type FigureRecord struct {
	Name        string        `json:"name"`
	Label       string        `json:"label"`
	Value       *float64      `json:"value"`
	Uncertainty *float64      `json:"standardUncertainty"`
	Unit        string        `json:"unit"`
	Text        string        `json:"text,omitempty"` // as it is printed, with its expanded uncertainty
	Missing     string        `json:"missing,omitempty"`
	Formula     string        `json:"formula,omitempty"`
	Note        string        `json:"note,omitempty"`
	Also        []ExtraRecord `json:"also,omitempty"`
}

// ExtraRecord is an Extra in a Record.
type ExtraRecord struct {
	Label string   `json:"label"`
	Value *float64 `json:"value"`
}

// StopRecord is a Stop in a Record, in seconds since the first sample.
type StopRecord struct {
	Start    float64 `json:"start"`
	Length   float64 `json:"length"`
	TakenOut bool    `json:"takenOut"`
}

// Record makes the record of a result.
func (r *Result) Record() Record {
	out := Record{
		Evidence: r.Evidence, Dialect: r.Dialect, Samples: r.Rows, LeftOut: r.Skipped,
		Figures: []FigureRecord{}, Stops: []StopRecord{},
	}
	for _, f := range r.Figures() {
		j := FigureRecord{
			Name: f.Name, Label: f.Label, Missing: f.Missing, Formula: f.Formula, Note: f.Note, Unit: f.Quantity.Dimension.BaseUnit(),
			Value: jsonNumber(f.Quantity.Value), Uncertainty: jsonNumber(f.Quantity.U),
		}
		if f.Missing == "" {
			j.Text = f.Quantity.Rounded()
		}
		for _, e := range f.Extra {
			j.Also = append(j.Also, ExtraRecord{e.Label, jsonNumber(e.Quantity.Value)})
		}
		out.Figures = append(out.Figures, j)
	}
	for _, s := range r.Stops {
		out.Stops = append(out.Stops, StopRecord{float64(s.Start - r.Start), float64(s.Length), s.TakenOut})
	}
	if a := &r.Accounts; a.Lines > 0 {
		out.Lines = &LinesRecord{Lines: a.Lines, Head: a.Head, Aside: a.Aside, Used: a.Used, LeftOut: []LeftOutRecord{}}
		for _, l := range a.LeftOut {
			out.Lines.LeftOut = append(out.Lines.LeftOut, LeftOutRecord(l))
		}
	}
	for k := range r.Parts {
		p := &r.Parts[k]
		out.Parts = append(out.Parts, PartRecord{
			Name: p.Name, Kind: p.Kind, FirstLine: p.FirstLine, LastLine: p.LastLine, Start: float64(p.Start), Length: float64(p.Length),
			ChargeOut: jsonNumber(float64(p.ChargeOut)), ChargeIn: jsonNumber(float64(p.ChargeIn)),
			EnergyOut: jsonNumber(float64(p.EnergyOut)), EnergyIn: jsonNumber(float64(p.EnergyIn)),
			StartVolts: jsonNumber(float64(p.StartVoltage)), EndVolts: jsonNumber(float64(p.EndVoltage)), RestVoltage: jsonNumber(float64(p.RestVoltage)),
		})
	}
	return out
}

// jsonNumber is a number for JSON, which has none for what is not known.
func jsonNumber(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
