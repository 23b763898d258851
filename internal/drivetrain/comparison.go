package drivetrain

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// SpeedComparison holds a run's speed against the one computed for the run's own
// payload, surface, setting and voltage, and says what rolling coefficient the
// run's energy for its distance comes to.
type SpeedComparison struct {
	Run, Name string
	Err       string // why no speed is predicted for it, a sentence
	Volts     quantity.Measured[quantity.Volts]
	Setting   quantity.Fraction
	Payload   quantity.Kilograms
	Predicted quantity.Measured[quantity.MetresPerSecond] // steady, on the cruise's grade
	Current   quantity.Measured[quantity.Amperes]         // of the battery, the same
	Energy    quantity.Measured[quantity.WattHoursPerKilometre]

	Top, Mean   Comparison[quantity.MetresPerSecond]
	PerDistance Comparison[quantity.WattHoursPerKilometre]

	Implied      quantity.Measured[quantity.Number] // rolling coefficient; missing where ImpliedWhy says so
	ImpliedWhy   string
	ImpliedWords string
}

// Verdict says what a comparison of a measured with a predicted value shows.
type Verdict string

// The verdicts.
const (
	Within   Verdict = "within"   // no more apart than the expanded uncertainties of both
	Above    Verdict = "above"    // the measured value is higher, by more than that
	Below    Verdict = "below"    // the measured value is lower, by more than that
	Unjudged Verdict = "unjudged" // an uncertainty is not known, or there is no measured value
)

// Comparison is a measured value beside the predicted one.
type Comparison[K quantity.Kind] struct {
	Measured quantity.Measured[K] // missing: not measured
	Off      float64              // (measured − predicted)/predicted; NaN: none
	Verdict  Verdict
	Words    string // a sentence; "" where there is nothing measured
}

// compare judges by the expanded uncertainties (k = 2) of both together.
func compare[K quantity.Kind](measured, predicted quantity.Measured[K]) Comparison[K] {
	c := Comparison[K]{Measured: measured, Off: math.NaN(), Verdict: Unjudged}
	if !measured.Known() || !predicted.Known() || predicted.Value == 0 {
		return c
	}
	c.Off = float64(measured.Value/predicted.Value) - 1
	u := quantity.CoverageFactor * math.Hypot(float64(measured.U), float64(predicted.U))
	apart := float64(measured.Value - predicted.Value)
	switch {
	case math.IsNaN(u):
		return c
	case apart > u:
		c.Verdict = Above
	case -apart > u:
		c.Verdict = Below
	default:
		c.Verdict = Within
	}
	return c
}

// check computes the speed for a run and compares.
func (p *prepared) check(r Run) SpeedComparison {
	out := SpeedComparison{Run: r.ID, Name: r.Name, Predicted: quantity.Missing[quantity.MetresPerSecond](), Current: quantity.Missing[quantity.Amperes](),
		Energy: quantity.Missing[quantity.WattHoursPerKilometre](), Implied: quantity.Missing[quantity.Number](), Volts: r.Volts,
		Top: Comparison[quantity.MetresPerSecond]{Measured: r.Top, Off: math.NaN(), Verdict: Unjudged}, Mean: Comparison[quantity.MetresPerSecond]{Measured: r.Mean, Off: math.NaN(), Verdict: Unjudged},
		PerDistance: Comparison[quantity.WattHoursPerKilometre]{Measured: r.PerDistance, Off: math.NaN(), Verdict: Unjudged}}
	g, why := p.onRun(r)
	if why != "" {
		out.Err = why
		return out
	}
	out.Payload, out.Setting = g.Payload.Value, p.own
	if g.Duty.Known() {
		out.Setting = g.Duty.Value
	}
	a, err := g.Operate()
	switch {
	case err != nil:
		out.Err = finding.SentenceOf(err)
		return out
	case !a.Point.Moves():
		out.Err = finding.SentenceOf(errors.New("by what is computed " + a.Point.Words()))
		return out
	}
	out.Predicted, out.Current, out.Energy = a.Speed, a.BatteryCurrent, a.PerDistance
	out.Top, out.Mean, out.PerDistance = compare(r.Top, a.Speed), compare(r.Mean, a.Speed), compare(r.PerDistance, a.PerDistance)
	out.Top.Words = topWords(out.Top)
	out.Mean.Words = meanWords(out.Mean)
	out.PerDistance.Words = energyWords(out.PerDistance)
	p.imply(g, r, &out)
	return out
}

// onRun is the setup as a run had it: its payload, ground, setting, and the
// battery's voltage as it was measured.
func (p *prepared) onRun(r Run) (drive.Given, string) {
	g := p.given
	switch {
	case r.WheelsUp:
		return g, "Its wheels were off the ground."
	case !r.Payload.Known():
		return g, "What it carried is not stated (conditions.payload)."
	case !r.Top.Known() && !r.Mean.Known() && !r.PerDistance.Known():
		return g, "Neither speed nor distance was measured."
	}
	g.Payload = r.Payload
	if r.Ground != "" && r.Ground != p.Ground {
		basis, why := rollingOn(r.Ground, quantity.Missing[quantity.Number]())
		if why != "" {
			return g, why
		}
		g.Rolling = basis.Taken
	}
	if r.Setting.Known() && p.Control != BySwitch && p.Control != ByResistor {
		g.Duty = r.Setting
	}
	if r.Volts.Known() {
		g.Rest, g.Supply = r.Volts, p.behindTerminals()
	}
	return g, ""
}

func topWords(c Comparison[quantity.MetresPerSecond]) string {
	if !c.Measured.Known() {
		return ""
	}
	switch c.Verdict {
	case Above:
		return "The highest speed measured is above the steady speed predicted for the level by more than the uncertainty of both: a way downhill is in it, or one of the values it rests on is wrong."
	case Below:
		return "The highest speed measured is below the one predicted by more than the uncertainty of both: it was not driven at its setting, or one of the values it rests on is wrong."
	case Within:
		return "The highest speed measured and the one predicted differ by no more than the uncertainty of both."
	}
	return "Whether the difference says anything cannot be judged: an uncertainty is not known."
}

func meanWords(c Comparison[quantity.MetresPerSecond]) string {
	if !c.Measured.Known() {
		return ""
	}
	switch c.Verdict {
	case Above:
		return "The mean speed measured is above the steady speed predicted by more than the uncertainty of both, which no stop explains: one of the values it rests on is wrong."
	case Below:
		return "The mean speed measured is below the steady speed predicted by more than the uncertainty of both; starts, short stops, climbs and a hand on the lever are in the mean and not in the prediction."
	case Within:
		return "The mean speed measured and the steady speed predicted differ by no more than the uncertainty of both."
	}
	return "Whether the mean differs from the prediction cannot be judged: an uncertainty is not known."
}

func energyWords(c Comparison[quantity.WattHoursPerKilometre]) string {
	if !c.Measured.Known() {
		return ""
	}
	switch c.Verdict {
	case Above:
		return "The energy measured for the distance is more than predicted, by more than the uncertainty of both."
	case Below:
		return "The energy measured for the distance is less than predicted, by more than the uncertainty of both."
	case Within:
		return "The energy for the distance, measured and predicted, differs by no more than the uncertainty of both."
	}
	return ""
}

// imply finds the rolling coefficient with which the energy computed for the
// distance is what the run measured, at its mean speed on the level. Whatever
// else took energy is in it: starts, curves, climbs that were braked down again,
// and what is drawn at a stand.
func (p *prepared) imply(g drive.Given, r Run, out *SpeedComparison) {
	switch {
	case !r.PerDistance.Known() || !(r.PerDistance.Value > 0):
		out.ImpliedWhy = "The run does not give the energy for its distance, so no rolling coefficient follows from it."
		return
	case !r.Mean.Known() || !(r.Mean.Value > 0):
		out.ImpliedWhy = "The run does not give its mean speed, so no rolling coefficient follows from it."
		return
	}
	g.Grade = quantity.Exact(quantity.Number(0))
	s, _ := g.Setup() // the plate is sound: see prepare
	s.Controller.Duty = 1
	x := []float64{float64(r.PerDistance.Value), float64(g.GearEfficiency.Value), float64(g.Mass.Value), float64(g.Payload.Value), float64(s.Vehicle.Motor.Friction)}
	friction := 0.0
	if c, err := g.Plate.Constants(); err == nil {
		friction = float64(s.Vehicle.Motor.Friction) * float64(c.NoLoadCurrent.U/c.NoLoadCurrent.Value)
	}
	u := []float64{float64(r.PerDistance.U), float64(g.GearEfficiency.U), float64(g.Mass.U), float64(g.Payload.U), friction}
	find := func(x []float64) float64 {
		t := s
		t.Vehicle.GearEfficiency, t.Vehicle.Mass, t.Vehicle.Payload, t.Vehicle.Motor.Friction = quantity.Fraction(x[1]), quantity.Kilograms(x[2]), quantity.Kilograms(x[3]), x[4]
		return impliedRolling(t, r.Mean.Value, x[0])
	}
	c, uc := quantity.Propagate(find, x, u, nil)
	if math.IsNaN(c) {
		out.ImpliedWhy = "No rolling coefficient makes the computed energy what was measured: the motors' own losses are stated too high, or the gearing's too low."
		return
	}
	out.Implied = quantity.Of(quantity.Number(c), quantity.Number(uc))
	taken := compare(out.Implied, g.Rolling)
	out.ImpliedWords = fmt.Sprintf("What the run drew for its distance comes to a rolling coefficient of %s, starts and curves and halts included", out.Implied)
	switch taken.Verdict {
	case Within:
		out.ImpliedWords += ", which agrees with what is taken."
	case Above:
		out.ImpliedWords += ", more than what is taken."
	case Below:
		out.ImpliedWords += ", less than what is taken."
	default:
		out.ImpliedWords += "."
	}
}

// impliedRolling finds the coefficient by halving an interval: the energy for the
// distance, Wh/km, rises with it. NaN: none from 0 to 0.6 fits.
func impliedRolling(s drive.Setup, v quantity.MetresPerSecond, perDistance float64) float64 {
	excess := func(c float64) float64 {
		s.Way.Rolling = quantity.Number(c)
		p, err := s.AtSpeed(v)
		if err != nil { // more than the battery's voltage allows
			return math.Inf(1)
		}
		return float64(p.PerDistance()) - perDistance
	}
	low, high := 0.0, 0.6
	if !(excess(low) < 0) || !(excess(high) > 0) {
		return math.NaN()
	}
	for range 60 {
		if mid := (low + high) / 2; excess(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	if math.IsInf(excess(high), 1) { // the limit of the speed, not of the energy
		return math.NaN()
	}
	return (low + high) / 2
}
