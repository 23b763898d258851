package battery

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// widths are what an interval of a run time holds beside what the unknowns of the cell leave open: standard uncertainties, as parts of the
// time, that add as independent errors do.
type widths struct {
	Base    float64 // structure of the model, meters, contact, charge at the start: always
	Typical float64 // nothing taught
	Alone   float64 // one log taught: nothing says what differs from run to run
	Rate    float64 // for each doubling of the current beyond those seen
	Cold    float64 // for each kelvin below the coldest start seen: charge that the cold takes away
	Chill   float64 // for the square of each ten kelvins below it, times the root of the current over the capacity: sag that the cold adds
	Warm    float64 // for each kelvin above the warmest
	Label   float64 // one log taught: for the logarithm of what it says the cell holds over what the label says; 0.5 reaches to the label
	Beyond  float64 // for the logarithm of the charge predicted over what came out on the log nearest in current, down to the same voltage
	Misfit  float64 // for the logarithm of a misfit of several logs above 1
	Aged    float64 // for each hundred cycles between a log and the answer
}

// modelWidths are those in use. They are what BenchmarkReliability finds on all its sets; the table of README.md has, for each type of
// cell, those that it finds without that type. That there are these terms, and no others, was settled with all of the sets in view.
var modelWidths = widths{Base: 0.0327, Typical: 0.063, Alone: 0.0425, Rate: 0.0154, Cold: 0.00108, Chill: 0.0104, Warm: 0.00294, Label: 0.5, Beyond: 1.18, Misfit: 0.0352, Aged: 0.1}

func widthsInWords() string {
	w := modelWidths
	return fmt.Sprintf("u^2 = g'*S*g + t^2*(%.3g^2 + %.3g^2 (nothing taught) + %.3g^2 (one run) + (%.3g*doublings)^2 + (%.3g*K colder)^2 + (%.3g*(K colder/10)^2*sqrt(I/Q))^2 + (%.3g*K warmer)^2 + (%.3g*ln(Q/label))^2 + (%.3g*ln(q/q nearest))^2 + (%.3g*ln(misfit))^2 + (%.3g*cycles/100)^2)",
		w.Base, w.Typical, w.Alone, w.Rate, w.Cold, w.Chill, w.Warm, w.Label, w.Beyond, w.Misfit, w.Aged)
}

// Circumstances are those of an answer.
type Circumstances struct {
	Ambient quantity.Celsius
	Current quantity.Amperes     // mean, of a cell or parallel group
	Volts   quantity.Volts       // of a cell, at which it ends; 0: at none
	Charge  quantity.AmpereHours // predicted from full to there, of a cell or parallel group; 0: not known
	Cycles  float64              // full cycles, a number, that the cell has done, counted as those of the logs are
}

// doubts are how far circumstances are from what taught an estimate, in the unit of each of widths.
type doubts struct {
	typical, alone                                                bool
	doublings, colder, chill, warmer, label, beyond, misfit, aged float64
}

// doubtsOf are those of an estimate. Without logs usual currents are a tenth of the capacity to the capacity in amperes, and usual temperatures
// 20 °C to 30 °C.
func (e *Estimate) doubtsOf(at Circumstances) doubts {
	c := e.seen()
	d := doubts{typical: len(e.logs) == 0, alone: len(e.logs) == 1}
	d.doublings = max(0, math.Log2(c.least/float64(at.Current)), math.Log2(float64(at.Current)/c.most))
	d.colder, d.warmer = max(0, c.low-float64(at.Ambient)), max(0, float64(at.Ambient)-c.high)
	d.chill = chilled(d.colder, float64(at.Current), c.holds)
	if d.typical {
		return d
	}
	if d.alone {
		d.label = math.Abs(math.Log(e.typical.capacity(e.xi[places.capacity]) / float64(e.typical.rated.Value)))
	} else if e.misfit > 1 {
		d.misfit = math.Log(e.misfit)
	}
	nearest := math.Inf(1)
	for i, l := range c.logs {
		d.aged = max(d.aged, math.Abs(at.Cycles-l.Cycles)/100)
		far := math.Abs(math.Log(c.amps[i] / float64(at.Current)))
		if !(far < nearest) || !(at.Charge > 0) || !(at.Volts > 0) {
			continue
		}
		if out, ok := l.downTo(float64(at.Volts)); ok && out > 0 {
			nearest, d.beyond = far, math.Abs(math.Log(float64(at.Charge)/out))
		}
	}
	return d
}

// chilled is by how much the cold adds to the sag of a current, A, of a cell that holds so many Ah, beyond kelvins that were seen.
func chilled(kelvins, amps, holds float64) float64 {
	if kelvins == 0 {
		return 0
	}
	return kelvins * kelvins / 100 * math.Sqrt(max(0, amps)/holds)
}

// of is the standard uncertainty, as a part of the time.
func (w widths) of(d doubts) float64 {
	sum := w.Base * w.Base
	add := func(width, by float64) { sum += width * width * by * by }
	if d.typical {
		add(w.Typical, 1)
	}
	if d.alone {
		add(w.Alone, 1)
	}
	add(w.Rate, d.doublings)
	add(w.Cold, d.colder)
	add(w.Chill, d.chill)
	add(w.Warm, d.warmer)
	add(w.Label, d.label)
	add(w.Beyond, d.beyond)
	add(w.Misfit, d.misfit)
	add(w.Aged, d.aged)
	return math.Sqrt(sum)
}

// ModelError is the standard uncertainty, as a part of a run time, of what the unknowns of the cell do not hold: see widths.
func (e *Estimate) ModelError(at Circumstances) float64 { return modelWidths.of(e.doubtsOf(at)) }

// conditions are the temperatures, °C, and the mean currents, A, that logs were made at.
type conditions struct {
	low, high, least, most float64
	holds                  float64 // Ah, by the logs or by what is stated
	logs                   []Log
	amps                   []float64 // of each of them; NaN: it has no load
}

// conditionsOf are those of logs; without any, usual ones.
func (t *typical) conditionsOf(logs []Log) conditions {
	q := quantity.AmpereHours(t.counted(logs))
	c := conditions{low: math.Inf(1), high: math.Inf(-1), least: math.Inf(1), holds: float64(q), logs: logs}
	for _, l := range logs {
		at := float64(l.Ambient.Value)
		for i := 0; math.IsNaN(at) && i < len(l.Celsius); i++ {
			at = l.Celsius[i]
		}
		if !math.IsNaN(at) {
			c.low, c.high = min(c.low, at), max(c.high, at)
		}
		amps := math.NaN()
		if load, err := LoadOf(l, q); err == nil {
			amps = float64(load.Current.Value)
			c.least, c.most = min(c.least, amps), max(c.most, amps)
		}
		c.amps = append(c.amps, amps)
	}
	if c.low > c.high {
		c.low, c.high = 20, 30
	}
	if c.most == 0 {
		c.least, c.most = 0.1*float64(q), float64(q)
	}
	return c
}

// nearlyDown is the part of a voltage by which a log may have ended above it and still say what charge comes out down to it.
const nearlyDown = 0.05

// downTo is the charge, Ah, that a log has out of the full cell when it first comes down to a voltage of a cell under load, or to its lowest where
// that is nearly as low; false where it does not come so low.
func (l Log) downTo(volts float64) (out float64, ok bool) {
	series := float64(max(1, l.Series))
	sum, lowest := 0.0, math.Inf(1)
	if l.Drawn.Known() {
		sum = float64(l.Drawn.Value)
	}
	previous := -1
	for k := range l.Time {
		if math.IsNaN(l.Time[k] + l.Amperes[k] + l.Volts[k]) {
			continue
		}
		if previous >= 0 && l.Time[k] > l.Time[previous] {
			sum += (l.Amperes[k] + l.Amperes[previous]) / 2 * (l.Time[k] - l.Time[previous]) / 3600
		}
		previous = k
		if v := l.Volts[k] / series; l.Amperes[k] > 0 && v < lowest {
			lowest, out = v, sum
			if v <= volts {
				return out, true
			}
		}
	}
	return out, lowest <= volts*(1+nearlyDown)
}

// Bounds are those of a time with a standard uncertainty, about 95 %: as far on either side, or, where that interval would be wider than the
// time itself, by the same factor on either side, so that no run ends before it begins.
func Bounds(value, u quantity.Seconds) (low, high quantity.Seconds) {
	return interval(value, u, quantity.CoverageFactor)
}

func interval(value, u quantity.Seconds, k float64) (low, high quantity.Seconds) {
	if by := quantity.Seconds(k) * u; 2*quantity.CoverageFactor*u <= value {
		return value - by, value + by
	}
	f := quantity.Seconds(math.Exp(k * float64(u/value)))
	return value / f, value * f
}
