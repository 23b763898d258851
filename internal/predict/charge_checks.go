package predict

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/phases"
	"voltwright/internal/quantity"
)

// ChargeCheck is a run that was a charge, held against its prediction by what had not seen it.
type ChargeCheck struct {
	Run, Name string
	Start     string        // how it is known where it began, a sentence
	By        int           // other charges that taught the prediction
	Levels    []ChargeLevel // what could be compared
	Why       string        // why nothing could, a sentence; "" where something was
	Lesson    battery.ChargeLesson
	Teaches   bool
	Wall      bool // the wall was read, so that it shows the charger's efficiency where none is stated
}

// ChargeLevel is one comparison: a time, or an energy.
type ChargeLevel struct {
	Name      string // "to 80 %"
	Measured  quantity.Quantity
	Predicted quantity.Quantity
}

// The names of what is compared.
const (
	ChargeToMost  = "to 80 %"
	ChargeToFull  = "to full"
	ChargeIn      = "energy into the packs"
	ChargeAtWall  = "energy from the wall"
	mostChargings = 12 // charges that are compared, the newest
)

// Off is (predicted − measured)/measured, a ratio.
func (l ChargeLevel) Off() float64 { return l.Predicted.Value/l.Measured.Value - 1 }

// Inside says whether what was measured lies within the predicted interval, k = 2.
func (l ChargeLevel) Inside() bool {
	low, high := battery.Bounds(quantity.Seconds(l.Predicted.Value), quantity.Seconds(l.Predicted.U)) // as of a time: by the same rule
	return float64(low) <= l.Measured.Value && l.Measured.Value <= float64(high)
}

// Verdict is Inside in a word.
func (l ChargeLevel) Verdict() string {
	switch {
	case math.IsNaN(l.Predicted.U):
		return "its interval is not known"
	case l.Inside():
		return "inside"
	}
	return "outside"
}

// Words are predicted, measured, difference and verdict.
func (l ChargeLevel) Words() string {
	measured := l.Measured.Rounded()
	switch {
	case l.Measured.Dimension == quantity.Time:
		measured = quantity.Clock(quantity.Seconds(l.Measured.Value), 1)
	case l.Measured.U == 0:
		measured = quantity.Brief(quantity.WattHours(l.Measured.Value))
	}
	return fmt.Sprintf("predicted %s, measured %s (%+.1f %%), %s", l.Predicted.Rounded(), measured, 100*l.Off(), l.Verdict())
}

// chargeChecks predict each run that was a charge, by what the packs' discharges taught and the other charges.
func (k *known) chargeChecks(runs []Run) []ChargeCheck {
	var out []ChargeCheck
	var logs []battery.MeasuredCharge
	older := -mostChargings
	for i := range runs {
		if runs[i].Kind == "charge" {
			older++
		}
	}
	for i := range runs {
		r := &runs[i]
		if r.Kind != "charge" {
			continue
		}
		c := ChargeCheck{Run: r.ID, Name: r.Name, Teaches: !r.OnlyChecked, Wall: k.showsEfficiency(r)}
		if older--; older >= 0 {
			c.Why = fmt.Sprintf("The %d newest charges are compared, and it is older.", mostChargings)
			out, logs = append(out, c), append(logs, battery.MeasuredCharge{})
			continue
		}
		m, why := k.measuredCharge(r)
		if why == "" {
			alone, err := k.estimates[0].CompareCharge(m, nil)
			if err != nil {
				why = finding.SentenceOf(err)
			} else {
				c.Lesson = alone.Lesson
			}
		}
		c.Why = why
		out, logs = append(out, c), append(logs, m)
	}
	for i := range out {
		if c := &out[i]; c.Why == "" {
			k.checkCharge(c, logs[i], runs, lessonsOf(out, c.Run))
		}
	}
	return out
}

// lessonsOf are what charges teach, but for one.
func lessonsOf(all []ChargeCheck, but string) (out []battery.ChargeLesson) {
	for _, c := range all {
		if c.Why == "" && c.Teaches && c.Run != but {
			out = append(out, c.Lesson)
		}
	}
	return out
}

// measuredCharge is a charge as the half of a bank sees it, or why there is none, a sentence.
func (k *known) measuredCharge(r *Run) (m battery.MeasuredCharge, why string) {
	switch {
	case len(k.estimates) > 1:
		return m, "The packs are of unlike chemistry, and one logger cannot tell what each of them took."
	case r.ChargeRows == nil && r.Why != "":
		return m, r.Why
	case r.ChargeRows == nil:
		return m, "Its log has not both a voltage and a current column."
	}
	m = battery.MeasuredCharge{Name: r.Slug, Series: k.bank.Series(), Rows: *r.ChargeRows, Ambient: usualAmbient, Warmth: quantity.Celsius(math.NaN())}
	if r.Ambient.Known() {
		m.Ambient = r.Ambient.Value
	}
	if r.Rows != nil && len(r.Rows.Temperature) > 0 {
		m.Warmth = quantity.Celsius(r.Rows.Temperature[0])
	}
	factor := k.ofHalf(r)
	m.Rows.Amperes = make([]float64, len(r.ChargeRows.Amperes))
	for n, i := range r.ChargeRows.Amperes {
		m.Rows.Amperes[n] = i * factor
	}
	var ok bool
	if m.Cut, ok = phases.Of(m.Rows); !ok {
		return m, "Neither its current nor its voltage was held for long enough to tell the phases of the charge."
	}
	return m, ""
}

// ofHalf is the part of a run's current that a half of the bank has.
func (k *known) ofHalf(r *Run) float64 {
	return float64(k.bank.Capacity().Value) / halves / r.capacity(k.bank)
}

func (k *known) checkCharge(c *ChargeCheck, m battery.MeasuredCharge, runs []Run, lessons []battery.ChargeLesson) {
	got, err := k.estimates[0].CompareCharge(m, lessons)
	if err != nil {
		c.Why = finding.SentenceOf(err)
		return
	}
	f := got.Forecast
	c.Start, c.By = got.Start, f.Taught
	add := func(name string, measured, predicted quantity.Quantity) {
		if !math.IsNaN(measured.Value) && !math.IsNaN(predicted.Value) {
			c.Levels = append(c.Levels, ChargeLevel{name, measured, predicted})
		}
	}
	time := func(s float64) quantity.Quantity { return quantity.Exact(quantity.Seconds(s)).Quantity() }
	add(ChargeToMost, time(got.Measured[battery.ToMost]), f.Most.Quantity())
	add(ChargeToFull, time(got.Measured[battery.ToFull]), f.Full.Quantity())
	for i := range runs {
		r := &runs[i]
		if r.ID != c.Run || math.IsNaN(got.Measured[battery.EnergyIn]) || !f.Energy.Known() {
			continue
		}
		whole := 1 / k.ofHalf(r)
		in := quantity.Scale(f.Energy, whole)
		add(ChargeIn, quantity.Exact(quantity.WattHours(got.Measured[battery.EnergyIn]*whole)).Quantity(), in.Quantity())
		if r.Wall.Known() {
			add(ChargeAtWall, r.Wall.Quantity(), fromTheWall(in, k.efficiency(runs, r.ID)).Quantity())
		}
	}
	if len(c.Levels) == 0 {
		c.Why = strings.TrimSpace(got.Why[battery.ToMost] + " " + got.Why[battery.ToFull])
	}
}

// What is typical of a charger, and how sure a stated or a measured one is. From memory: small switching chargers waste a tenth to a fifth.
const (
	usualEfficiency  = 0.85
	usualUnsure      = 0.05
	repeatEfficiency = 0.02
)

// efficiency is that of the charger: as stated, else as the charges with a reading of the wall show it, but for one, else typical.
func (k *known) efficiency(runs []Run, but string) quantity.Measured[quantity.Fraction] {
	if e := k.bank.Efficiency; e.Known() && e.Value > 0 {
		return quantity.Of(e.Value, quantity.Fraction(math.Hypot(float64(e.U), repeatEfficiency)))
	}
	sum, n := 0.0, 0.0
	for i := range runs {
		if r := &runs[i]; r.ID != but && !r.OnlyChecked && k.showsEfficiency(r) {
			sum, n = sum+float64(r.ChargedEnergy.Value/r.Wall.Value), n+1
		}
	}
	if n == 0 {
		return quantity.Of(quantity.Fraction(usualEfficiency), quantity.Fraction(usualUnsure))
	}
	return quantity.Of(quantity.Fraction(sum/n), quantity.Fraction(repeatEfficiency*math.Sqrt(1+1/n)))
}

// showsEfficiency says whether a run tells how much of what the wall gave went in, where none is stated.
func (k *known) showsEfficiency(r *Run) bool {
	stated := k.bank.Efficiency.Known() && k.bank.Efficiency.Value > 0
	return !stated && r.Wall.Known() && r.ChargedEnergy.Known() && r.Wall.Value > 0 && r.ChargedEnergy.Value < r.Wall.Value
}

// fromTheWall is what a meter in the wall socket would read.
func fromTheWall(in quantity.Measured[quantity.WattHours], efficiency quantity.Measured[quantity.Fraction]) quantity.Measured[quantity.WattHours] {
	return quantity.Quotient(in, efficiency, func(in quantity.WattHours, e quantity.Fraction) quantity.WattHours { return in / quantity.WattHours(e) })
}

// How sure the current is at which a charger ends a charge: the logarithm of it, where none was measured and where one was. Own choice, no
// source: chargers end at a tenth to a fiftieth of the capacity in amperes.
const (
	stopUnsure  = 0.7
	stopRepeats = 0.25
)

// endingCurrent is that at which measured charges ended, of so many parts together, and how unsure its logarithm is; 0 where none did.
func endingCurrent(lessons []battery.ChargeLesson, parts float64) (quantity.Amperes, float64) {
	sum, n := 0.0, 0.0
	for _, l := range lessons {
		if l.Last > 0 {
			sum, n = sum+math.Log(float64(l.Last)), n+1
		}
	}
	if n == 0 {
		return 0, stopUnsure
	}
	return quantity.Amperes(math.Exp(sum/n) * parts), stopRepeats
}

// ChargesAt are the comparisons of all runs of one name.
func (a *Prediction) ChargesAt(name string) (out []ChargeLevel) {
	for _, c := range a.ChargeRuns {
		for _, l := range c.Levels {
			if l.Name == name {
				out = append(out, l)
			}
		}
	}
	return out
}

// ChargeCheckedWords say beside a computed time or energy of a charge how such a prediction stands against charges that it had not seen.
// They begin small and end without a stop.
func (a *Prediction) ChargeCheckedWords(name string) string {
	all := a.ChargesAt(name)
	if len(all) == 0 {
		return "not checked: no charge was logged that shows it"
	}
	inside, low, high := 0, math.Inf(1), math.Inf(-1)
	for _, l := range all {
		low, high = min(low, l.Off()), max(high, l.Off())
		if l.Inside() {
			inside++
		}
	}
	if len(all) == 1 {
		return "checked on a charge it had not seen: " + all[0].Words()
	}
	return fmt.Sprintf("checked on %d charges it had not seen: %+.1f %% to %+.1f %%, %d of %d inside", len(all), 100*low, 100*high, inside, len(all))
}

// ChargeRun is how a run that was a charge stands against its prediction; false where it was none.
func (a *Prediction) ChargeRun(run string) (ChargeCheck, bool) {
	for _, c := range a.ChargeRuns {
		if c.Run == run {
			return c, true
		}
	}
	return ChargeCheck{}, false
}
