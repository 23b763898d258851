package study

import (
	"math"
	"strings"
	"time"

	"voltwright/internal/battery"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// thinRows is how many rows of a run a calibration is given.
const thinRows = 300

// Bank is a version's packs and its cutout as predict computes with them. What is
// not written is missing there, and predict says so.
func Bank(v *journal.Version) predict.Bank {
	var b predict.Bank
	for i := range v.Packs {
		b.Packs = append(b.Packs, packOf(&v.Packs[i]))
	}
	if c := v.Cutout; c != nil && c.Opens.Known() {
		b.Cutout = &battery.Cutout{Opens: c.Opens.Value, ResetThreshold: c.Threshold.Stated().Value, Delay: c.Delay.Stated().OrZero(), Trip: c.Current.Stated().OrZero()}
	}
	if c := v.Charger; c != nil {
		b.Charger = battery.Charger{Current: c.Current.Stated().OrZero(), Volts: c.Voltage.Stated().OrZero()}
		b.Efficiency = c.Efficiency.Stated()
	}
	return b
}

func packOf(p *journal.Pack) predict.Pack {
	chemistry, _ := p.Cells()
	out := predict.Pack{Name: p.Name.Text, Chemistry: chemistry, Series: p.Series.Or(0), Capacity: p.Capacity.Stated(), Resistance: p.Resistance.Stated(),
		Insisted: p.Resistance.Known() && journal.PutIn(p.Resistance.Span), Full: p.Full.Stated()}
	if p.Protection.Opens.Known() || p.Protection.Current.Known() {
		out.Protection = &battery.Cutout{Opens: p.Protection.Opens.Stated().OrZero(), ResetThreshold: quantity.Volts(math.NaN()), Trip: p.Protection.Current.Stated().OrZero()}
	}
	return out
}

// PredictRuns are a version's runs as predict computes with them.
func PredictRuns(v *journal.Version, results *Results) []predict.Run {
	var out []predict.Run
	for _, r := range v.Runs {
		run := predictRun(r, results.Run(r.ID()))
		run.OnlyChecked = !v.Teaches(r)
		out = append(out, run)
	}
	return out
}

func predictRun(r *journal.Run, measured *runlog.Result) predict.Run {
	out := predict.Run{
		ID: string(r.ID()), Slug: r.Slug, Name: r.Name.Text, Kind: string(r.Type.Value), Label: loadWords(r), Ambient: r.Conditions.Temperature.Stated(),
		Capacity: r.Version.Capacity(), DischargedCharge: quantity.Missing[quantity.AmpereHours](), ChargedCharge: quantity.Missing[quantity.AmpereHours](),
		Power: quantity.Missing[quantity.Watts](), Charging: quantity.Amperes(math.NaN()), ChargedEnergy: quantity.Missing[quantity.WattHours](), Wall: quantity.Missing[quantity.WattHours](),
		Masses: massesOn(r),
	}
	if d := r.Date; d.Set {
		out.Day = int(time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
	}
	switch {
	case measured == nil:
		out.Why = "It has no evidence that could be read."
		return out
	case measured.Evidence == runlog.EvidenceReadings:
		out.Why = "Its values were read by hand; what the current did between two readings is not known."
		if measured.Energy.Out.Known() && measured.Elapsed.Value > 0 {
			out.Power = quantity.Quotient(measured.Energy.Out, measured.Elapsed, func(e quantity.WattHours, t quantity.Seconds) quantity.Watts {
				return quantity.Watts(e) * 3600 / quantity.Watts(t)
			})
		}
	case measured.Evidence == runlog.EvidenceStopwatch:
		out.Why = "It was timed by stopwatch; its current is not known."
	case measured.Series == nil:
		out.Why = "Its log has not both a voltage and a current column."
	default:
		out.Rows, out.Thin = rows(measured.Series), rows(measured.Series.Reduced(thinRows))
		out.Timing = timing(r, measured)
	}
	out.DischargedCharge, out.ChargedCharge = measured.Charge.Out, measured.Charge.In
	out.ChargedEnergy, out.Wall = measured.Energy.In, r.WallEnergy.Stated()
	if r.Type.Value == journal.Charge {
		out.ChargeRows = measured.ChargeRows()
		out.Charging = measured.P95Current.Value
		if peak := measured.PeakCurrent; !measured.P95Current.Known() && peak.Known() {
			out.Charging = max(peak.Value, -peak.Value)
		}
	}
	return out
}

func rows(s *runlog.Series) *predict.Rows {
	return &predict.Rows{Start: s.Start, Time: s.Time, Current: s.Current, Voltage: s.Voltage, Temperature: s.Temperature}
}

// timing is how the run's time is counted: by its own stop rule.
func timing(r *journal.Run, measured *runlog.Result) *predict.Timing {
	t := &predict.Timing{Part: math.NaN(), U: quantity.Exact(measured.Running.U).OrZero(), Rule: stopRule(r)}
	for _, s := range measured.Stops {
		t.Stops = append(t.Stops, predict.Stop{From: float64(s.Start), To: float64(s.Start + s.Length), TakenOut: s.TakenOut})
	}
	if measured.StopCount > len(measured.Stops) && measured.Elapsed.Value > 0 {
		t.Part = float64(measured.Running.Value / measured.Elapsed.Value)
	}
	return t
}

// stopRule says which stops the run's running time leaves out.
func stopRule(r *journal.Run) string {
	if r.PauseAfter.Known() {
		return "stops longer than " + r.PauseAfter.Written + " are taken out"
	}
	return "no stop is taken out, as no pause-after is stated"
}

// loadWords name what a run drew: "field, 150 kg, 60 %".
func loadWords(r *journal.Run) string {
	parts := []string{string(r.Type.Value)}
	c := &r.Conditions
	if c.Surface.Set && c.Surface.Value == journal.WheelsUp {
		parts = append(parts, "wheels up")
	}
	if c.Payload.Known() && c.Payload.Value > 0 {
		parts = append(parts, c.Payload.Written)
	}
	if c.Setting.Known() {
		parts = append(parts, c.Setting.Written)
	}
	if len(parts) == 1 && r.Name.Set {
		return parts[0] + ": " + r.Name.Text
	}
	return strings.Join(parts, ", ")
}

// massesOn is what a run's motors moved. The vehicle's mass is the version's; the
// payload is the run's own, and nobody else's.
func massesOn(r *journal.Run) predict.MovedMasses {
	m := Masses(r.Version)
	c := &r.Conditions
	m.Payload, m.WheelsUp = c.Payload.Stated(), c.Surface.Set && c.Surface.Value == journal.WheelsUp
	if c.Setting.Known() {
		m.Setting = c.Setting.Stated()
	}
	return m
}

// Masses are what a version's motors move as its masses are stated.
func Masses(v *journal.Version) predict.MovedMasses {
	m := predict.NoMovedMasses()
	if v.Masses != nil {
		m.Vehicle, m.Payload = v.Masses.Vehicle.Stated(), v.Masses.Payload.Stated()
		for _, w := range v.Masses.Wagons { // pulled whatever is carried
			if w.Mass.Known() {
				m.Vehicle = quantity.Sum(m.Vehicle, quantity.Scale(w.Mass.Stated(), float64(w.Count.Or(1))))
			}
		}
	}
	if c := v.Controller; c != nil {
		m.Setting = c.Setting.Stated()
	}
	idle := quantity.Exact(quantity.Amperes(0))
	for _, motor := range v.Motors {
		idle = quantity.Sum(idle, quantity.Scale(motor.NoLoadCurrent.Stated(), float64(motor.Count.Or(1))))
	}
	if len(v.Motors) > 0 {
		m.NoLoadCurrent = idle
	}
	return m
}

// StatedLoads are the loads that the front matter gives: the motors at the power
// they are rated for, by the controller's efficiency where that is stated. A
// motor's own losses are not in it, so it draws more than this.
func StatedLoads(v *journal.Version) []predict.Load {
	var watts quantity.Watts
	for _, m := range v.Motors {
		if !m.Power.Known() {
			return nil
		}
		watts += m.Power.Value * quantity.Watts(m.Count.Or(1))
	}
	if watts == 0 {
		return nil
	}
	if c := v.Controller; c != nil && c.Efficiency.Known() && c.Efficiency.Value > 0 {
		watts /= quantity.Watts(c.Efficiency.Value)
	}
	return []predict.Load{predict.NewLoad("rated-power", "the motors at their rated power, their own losses not counted", predict.StatedLoad, battery.Delivering(watts), quantity.Brief(watts), 1)}
}

// Predict computes how long a version runs and charges, from no store; with a grid of run times for other numbers where it
// is asked for.
func Predict(v *journal.Version, results *Results, grid bool) *predict.Prediction {
	masses := Masses(v)
	return predict.Compute(Bank(v), PredictRuns(v, results), predict.Options{Stated: StatedLoads(v), Masses: &masses, Grid: grid})
}
