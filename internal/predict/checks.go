package predict

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// LevelCheck is a prediction held against a run at a voltage that answers are given for.
type LevelCheck struct {
	Level     string                              // as battery names it, or OwnProtection
	Name      string                              // in words: "the cutout"
	Volts     quantity.Volts                      // the level, of the pack
	At        quantity.Volts                      // at which both times are taken: the level, or the last voltage of a run that ends at most 0.5 % above it
	Measured  quantity.Seconds                    // running, from the first load
	Predicted quantity.Measured[quantity.Seconds] // the same; missing: the prediction does not come down to it
}

// OwnProtection is the level at which the packs' own protection opens where a cutout stands before it.
const OwnProtection = "protection"

// TimeError is (predicted − measured)/measured, a ratio; NaN where there is none.
func (c LevelCheck) TimeError() float64 { return float64(c.Predicted.Value/c.Measured) - 1 }

// Inside says whether the measured time lies within the predicted interval, k = 2; false where there is none.
func (c LevelCheck) Inside() bool {
	low, high := battery.Bounds(c.Predicted.Value, c.Predicted.U)
	return low <= c.Measured && c.Measured <= high
}

// Verdict is Inside in a word, or why there is none.
func (c LevelCheck) Verdict() string {
	switch {
	case !c.Predicted.Known():
		return "outside: the prediction does not come down to it"
	case math.IsNaN(float64(c.Predicted.U)):
		return "its interval is not known"
	case c.Inside():
		return "inside"
	}
	return "outside"
}

// Words are predicted, measured, difference and verdict; where the run ended just above the level, at which voltage.
func (c LevelCheck) Words() string {
	at := ""
	if c.At != c.Volts {
		at = " at " + quantity.Brief(c.At)
	}
	if !c.Predicted.Known() {
		return fmt.Sprintf("measured %s%s, %s", quantity.Clock(c.Measured, 1), at, c.Verdict())
	}
	return fmt.Sprintf("predicted %s, measured %s%s (%+.1f %%), %s", TimeWords(c.Predicted), quantity.Clock(c.Measured, 1), at, 100*c.TimeError(), c.Verdict())
}

// levels are the voltages of the bank that answers are given for, the answer's own first.
func (k *known) levels() []battery.Level {
	cutout, _ := k.bank.Ending()
	out := battery.FloorLevels(k.cells(halves, usualAmbient)[0], cutout)
	if cutout != nil {
		out = append(out[len(out)-1:], out[:len(out)-1]...)
	}
	if p := k.bank.protection(); p != nil && p.Opens > 0 && k.bank.Cutout != nil {
		out = append(out, battery.Level{Name: OwnProtection, Volts: p.Opens, Delay: p.Delay})
	}
	return out
}

// nameOf is a level in words.
func (k *known) nameOf(level string) string {
	switch level {
	case battery.CutoutLevel:
		return k.endsBy()
	case OwnProtection:
		return EndsAtProtection
	}
	return "the " + level
}

// checksOf are the checks at the levels that a run reached.
func (k *known) checksOf(l *calibrationLog, r battery.Residual) []LevelCheck {
	var out []LevelCheck
	for _, x := range r.Crossings {
		n := quantity.Volts(l.series)
		c := LevelCheck{Level: x.Name, Name: k.nameOf(x.Name), Volts: x.Volts * n, At: x.At * n, Measured: l.running(r, x.Measured), Predicted: quantity.Missing[quantity.Seconds]()}
		if x.At == x.Volts {
			c.At = c.Volts
		}
		if !(c.Measured > atOnce) {
			continue // it begins below it: nothing runs down
		}
		if !math.IsNaN(float64(x.Predicted)) {
			c.Predicted = spreadAt(l, r, x.Predicted, x.U, x.Model)
		}
		out = append(out, c)
	}
	return out
}

// RunCheck is a check with the run that it was made on.
type RunCheck struct {
	Run string
	LevelCheck
}

// ChecksAt are the checks of all runs at a level.
func (a *Prediction) ChecksAt(level string) []RunCheck {
	var out []RunCheck
	for _, v := range a.Validations {
		for _, c := range v.Checks {
			if c.Level == level {
				out = append(out, RunCheck{v.Run, c})
			}
		}
	}
	return out
}

// CheckedWords say beside the answer of a load at a level how it stands against runs that the prediction had not seen, at that voltage: the
// load's own run where that came down to it, else all that did; where none did, that it is not checked there. They begin small and end without a stop.
func (a *Prediction) CheckedWords(l Load, level string) string {
	all := a.ChecksAt(level)
	for _, c := range all {
		if c.Run == l.Run && l.Run != "" {
			return c.Words() + CountedAgainst(len(all)-1)
		}
	}
	if len(all) == 0 {
		return NotChecked
	}
	return SummedUp(all)
}

// NotChecked stands beside an answer at a voltage that no run came down to.
const NotChecked = "not checked: no run came down to it"

// CountedAgainst says that more runs were checked.
func CountedAgainst(more int) string {
	switch {
	case more <= 0:
		return ""
	case more == 1:
		return "; 1 more run is checked here"
	}
	return fmt.Sprintf("; %d more runs are checked here", more)
}

// SummedUp says checks in a line: "checked here on 2 runs it had not seen: 3.0 % long and 1.2 % short, both inside".
func SummedUp(all []RunCheck) string {
	inside, none := 0, 0
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range all {
		if c.Inside() {
			inside++
		}
		if !c.Predicted.Known() {
			none++
			continue
		}
		low, high = min(low, c.TimeError()), max(high, c.TimeError())
	}
	side := func(x float64) string {
		if x < 0 {
			return fmt.Sprintf("%.1f %% short", -100*x)
		}
		return fmt.Sprintf("%.1f %% long", 100*x)
	}
	words := ""
	switch {
	case none == len(all):
		words = "the prediction does not come down to it"
	case low == high:
		words = side(low)
	default:
		words = side(low) + " to " + side(high)
	}
	if none > 0 && none < len(all) {
		words += fmt.Sprintf(", on %d it does not come down to it", none)
	}
	if len(all) == 1 {
		return "checked here on a run it had not seen: " + words + ", " + strings.Split(all[0].Verdict(), ":")[0]
	}
	return fmt.Sprintf("checked here on %d runs it had not seen: %s, %d of %d inside", len(all), words, inside, len(all))
}

// Accuracy is how far predictions were off on runs that they had not seen, the time at the voltage that ends a run of the version.
type Accuracy struct {
	Runs     int
	TimeRuns int            // of those, the ones that came down to that voltage
	Inside   int            // of those, the ones whose time lies within its interval
	Time     float64        // mean magnitude of the error of the running time, as a part; NaN: none
	Voltage  quantity.Volts // mean over the runs of the root mean square, of one cell; NaN: none
	Words    string
}

// accuracyOver sums the checks up, the times at the level that ends a run.
func (k *known) accuracyOver(all []Validation) Accuracy {
	r := Accuracy{Runs: len(all), Time: math.NaN(), Voltage: quantity.Volts(math.NaN())}
	if len(all) == 0 {
		r.Words = "No run can be held against the prediction."
		return r
	}
	level := k.levels()[0]
	var time, volts float64
	timed := 0
	for _, v := range all {
		volts += float64(v.Voltage)
		for _, c := range v.Checks {
			if c.Level != level.Name {
				continue
			}
			r.TimeRuns++
			if c.Inside() {
				r.Inside++
			}
			if c.Predicted.Known() {
				time += math.Abs(c.TimeError())
				timed++
			}
		}
	}
	r.Voltage = quantity.Volts(volts / float64(len(all)))
	runs := "1 run"
	if len(all) > 1 {
		runs = fmt.Sprintf("%d runs", len(all))
	}
	r.Words = fmt.Sprintf("Held against %s that the prediction had not seen, the voltage was off by %.0f mV a cell (root mean square)", runs, 1000*float64(r.Voltage))
	to := fmt.Sprintf("%s, %s", k.nameOf(level.Name), quantity.Brief(level.Volts))
	switch {
	case r.TimeRuns == 0:
		r.Words += "; none came down to " + to + ", so the running time is not checked"
	case timed == 0:
		r.Words += "; the prediction does not come down to " + to + " where the runs did"
	default:
		r.Time = time / float64(timed)
		r.Words += fmt.Sprintf(" and the running time to %s, by %.1f %%", to, 100*r.Time)
		if r.TimeRuns < r.Runs {
			r.Words += fmt.Sprintf(" (%d of them came down to it)", r.TimeRuns)
		}
		r.Words += fmt.Sprintf(", %d of %d inside the interval", r.Inside, r.TimeRuns)
	}
	r.Words += "."
	return r
}
