package ride

// DrivenRecord is a Driven in the form in which it is handed on as JSON: values in
// base units with standard uncertainties (k = 1), null where a number is not known.
type DrivenRecord struct {
	Error   string             `json:"error,omitempty"`
	Figures []FigureRecord     `json:"figures"`
	Courses []CourseRecord     `json:"courses"`
	Runs    []SpeedRecord      `json:"runs"`
	Assumed []AssumptionRecord `json:"assumed"`
}

// FigureRecord is a Figure in a DrivenRecord.
type FigureRecord struct {
	Name  string `json:"name"`
	Label string `json:"label"`
	Number
	Missing string `json:"missing,omitempty"`
}

// CourseRecord is a Course in a DrivenRecord.
type CourseRecord struct {
	Name           string  `json:"name"`
	Grade          float64 `json:"grade"`
	Volts          float64 `json:"voltage"`
	Payload        float64 `json:"payload"`
	Setting        float64 `json:"setting"`
	Speed          Number  `json:"speed"`
	BatteryCurrent Number  `json:"batteryCurrent"`
	MotorCurrent   Number  `json:"motorCurrent"`
	MotorHeat      Number  `json:"motorHeat"`
	Efficiency     Number  `json:"efficiency"`
	PerDistance    Number  `json:"energyPerDistance"`
	Becomes        string  `json:"becomes,omitempty"` // where it does not come to a steady speed
}

// SpeedRecord is a SpeedCheck in a DrivenRecord.
type SpeedRecord struct {
	Run       string  `json:"run"`
	Predicted Number  `json:"predictedSpeed"`
	Top       Number  `json:"topSpeed"`
	TopIs     Verdict `json:"topSpeedIs"`
	Mean      Number  `json:"meanSpeed"`
	MeanIs    Verdict `json:"meanSpeedIs"`
	Implied   Number  `json:"impliedRollingCoefficient"`
	Error     string  `json:"error,omitempty"`
}

// AssumptionRecord is an Assumption in a DrivenRecord.
type AssumptionRecord struct {
	What   string `json:"what"`
	Value  string `json:"value"`
	Source string `json:"source"`
	Status string `json:"status"`
}

// Record makes the record of how a version drives.
func (d *Driven) Record() *DrivenRecord {
	out := &DrivenRecord{Error: d.Err, Figures: []FigureRecord{}, Courses: []CourseRecord{}, Runs: []SpeedRecord{}, Assumed: []AssumptionRecord{}}
	if d.Err != "" {
		return out
	}
	for _, f := range d.Figures() {
		out.Figures = append(out.Figures, FigureRecord{f.Name, f.Label, Number{number(f.Quantity.Value), number(f.Quantity.U), f.Quantity.Dimension.BaseUnit()}, f.Missing})
	}
	lists := [][]Course{d.ByVoltage, d.BySetting, d.ByPayload}
	if d.Hill != nil {
		lists = append(lists, []Course{*d.Hill})
	}
	for _, list := range lists {
		for _, c := range list {
			out.Courses = append(out.Courses, c.record())
		}
	}
	for _, r := range d.Runs {
		out.Runs = append(out.Runs, SpeedRecord{r.Run, measured(r.Predicted), measured(r.Top.Measured), r.Top.Verdict, measured(r.Mean.Measured), r.Mean.Verdict, measured(r.Implied), r.Err})
	}
	for _, a := range d.Assumed {
		out.Assumed = append(out.Assumed, AssumptionRecord{a.What, a.Words, a.Source, string(a.Status)})
	}
	return out
}

func (c Course) record() CourseRecord {
	r := CourseRecord{Name: c.Name, Grade: digits(float64(c.Grade)), Volts: digits(float64(c.Volts)), Payload: digits(float64(c.Payload)), Setting: digits(float64(c.Setting)),
		Speed: measured(c.Speed), BatteryCurrent: measured(c.BatteryCurrent), MotorCurrent: measured(c.MotorCurrent), MotorHeat: measured(c.MotorHeat),
		Efficiency: measured(c.Efficiency), PerDistance: measured(c.PerDistance)}
	if !c.Goes() {
		r.Becomes = c.Words + c.Err
	}
	return r
}
