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
	return out
}

// jsonNumber is a number for JSON, which has none for what is not known.
func jsonNumber(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
