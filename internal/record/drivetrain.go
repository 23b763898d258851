package record

import "voltwright/internal/drivetrain"

// Performance is how a version drives.
type Performance struct {
	Error   string            `json:"error,omitempty"`
	Figures []Figure          `json:"figures"`
	Courses []SteadyState     `json:"courses"`
	Runs    []SpeedComparison `json:"runs"`
	Assumed []Assumption      `json:"assumed"`
}

// SteadyState is a drivetrain.SteadyState.
type SteadyState struct {
	Name           string  `json:"name"`
	Grade          float64 `json:"grade" about:"rise over run; below zero: down"`
	Volts          float64 `json:"voltage" about:"V, of the battery at rest; at its terminals for the cutout"`
	Payload        float64 `json:"payload" about:"kg"`
	Setting        float64 `json:"setting" about:"of the controller, 0 to 1"`
	Speed          Number  `json:"speed"`
	BatteryCurrent Number  `json:"batteryCurrent"`
	MotorCurrent   Number  `json:"motorCurrent"`
	MotorHeat      Number  `json:"motorHeat"`
	Efficiency     Number  `json:"efficiency"`
	PerDistance    Number  `json:"energyPerDistance"`
	Becomes        string  `json:"becomes,omitempty"` // where it does not come to a steady speed
}

// SpeedComparison is a drivetrain.SpeedComparison.
type SpeedComparison struct {
	Run       string             `json:"run"`
	Predicted Number             `json:"predictedSpeed"`
	Top       Number             `json:"topSpeed"`
	TopIs     drivetrain.Verdict `json:"topSpeedIs"`
	Mean      Number             `json:"meanSpeed"`
	MeanIs    drivetrain.Verdict `json:"meanSpeedIs"`
	Implied   Number             `json:"impliedRollingCoefficient"`
	Error     string             `json:"error,omitempty"`
}

// Assumption is an Assumption in a Performance.
type Assumption struct {
	What   string `json:"what"`
	Value  string `json:"value"`
	Source string `json:"source"`
	Status string `json:"status"`
}

// OfPerformance makes the record of how a version drives.
func OfPerformance(d *drivetrain.Performance) *Performance {
	out := &Performance{Error: d.Err, Figures: []Figure{}, Courses: []SteadyState{}, Runs: []SpeedComparison{}, Assumed: []Assumption{}}
	if d.Err != "" {
		return out
	}
	for _, f := range d.Figures() {
		out.Figures = append(out.Figures, Figure{Name: f.Name, Label: f.Label, Number: optional(f.Dimension, f.Quantity), Missing: f.Quantity.Why(), Formula: f.Formula})
	}
	lists := [][]drivetrain.SteadyState{d.ByVoltage, d.BySetting, d.ByPayload}
	if d.Hill != nil {
		lists = append(lists, []drivetrain.SteadyState{*d.Hill})
	}
	for _, list := range lists {
		for _, c := range list {
			out.Courses = append(out.Courses, ofSteadyState(c))
		}
	}
	for _, r := range d.Runs {
		out.Runs = append(out.Runs, SpeedComparison{r.Run, measured(r.Predicted), measured(r.Top.Measured), r.Top.Verdict, measured(r.Mean.Measured), r.Mean.Verdict, measured(r.Implied), r.Err})
	}
	for _, a := range d.Assumed {
		out.Assumed = append(out.Assumed, Assumption{a.What, a.Words, a.Source, string(a.Status)})
	}
	return out
}

func ofSteadyState(c drivetrain.SteadyState) SteadyState {
	r := SteadyState{Name: c.Name, Grade: digits(float64(c.Grade)), Volts: digits(float64(c.Volts)), Payload: digits(float64(c.Payload)), Setting: digits(float64(c.Setting)),
		Speed: measured(c.Speed), BatteryCurrent: measured(c.BatteryCurrent), MotorCurrent: measured(c.MotorCurrent), MotorHeat: measured(c.MotorHeat),
		Efficiency: measured(c.Efficiency), PerDistance: measured(c.PerDistance)}
	if !c.HasSpeed() {
		r.Becomes = c.Words + c.Err
	}
	return r
}
