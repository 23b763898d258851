package battery

import (
	"errors"
	"math"

	"voltwright/internal/quantity"
)

// What the model itself cannot follow, as a part of a run time: set so that the
// measured runs that calibration did not see (the table of TestPrediction) lie
// within the expanded uncertainty.
const (
	modelTime       = 0.015 // at a temperature and a rate that the logs saw
	timePerDoubling = 0.02  // for each doubling of the rate beyond
	timePerKelvin   = 0.002 // for each kelvin beyond
)

// ModelError is the standard uncertainty, as a part of the run time, that the
// model adds to that of its values: 1.5 %; 2 % for each doubling or
// halving by which the current of a cell (or parallel group) lies outside the
// mean currents of the logs; and 0.2 % for every kelvin by which the ambient lies
// more than 5 K outside their temperatures. They add as independent errors do.
// Without logs the ranges are a tenth of the capacity to the capacity in amperes
// and 15 °C to 35 °C.
func (e *Estimate) ModelError(ambient quantity.Celsius, amps quantity.Amperes) float64 {
	c := e.seen()
	kelvins := max(0, c.low-float64(ambient), float64(ambient)-c.high)
	doublings := max(0, math.Log2(c.least/float64(amps)), math.Log2(float64(amps)/c.most))
	return math.Hypot(math.Hypot(modelTime, timePerDoubling*doublings), timePerKelvin*kelvins)
}

// conditions are the ambients, °C, five kelvins wider, and the mean currents, A, that logs were made at.
type conditions struct{ low, high, least, most float64 }

// conditionsOf are those of logs; without any, usual ones.
func (t *typical) conditionsOf(logs []Log) conditions {
	q := quantity.AmpereHours(t.counted(logs))
	low, high := math.Inf(1), math.Inf(-1)
	least, most := math.Inf(1), 0.0
	for _, l := range logs {
		at := float64(l.Ambient.Value)
		for i := 0; math.IsNaN(at) && i < len(l.Celsius); i++ {
			at = l.Celsius[i]
		}
		if !math.IsNaN(at) {
			low, high = min(low, at-5), max(high, at+5)
		}
		if load, err := LoadOf(l, q); err == nil {
			least, most = min(least, float64(load.Current.Value)), max(most, float64(load.Current.Value))
		}
	}
	if low > high {
		low, high = 15, 35
	}
	if most == 0 {
		least, most = 0.1*float64(q), float64(q)
	}
	return conditions{low, high, least, most}
}

// KnownPack is a pack whose cell is known only as far as an estimate goes; the
// Cell of Pack is not used.
type KnownPack struct {
	Estimate *Estimate
	Pack     Pack
}

// Forecast is where a voltage level is reached, with uncertainties.
type Forecast struct {
	Level
	Time   quantity.Measured[quantity.Seconds]
	Charge quantity.Measured[quantity.AmpereHours]
	Energy quantity.Measured[quantity.WattHours]
	Left   quantity.Measured[quantity.AmpereHours]
	Parts  []SpreadOfOne // of the time, s: which unknown matters most
	Err    error         // *NeverReachedError, *UncertainError: no values then
}

// A time whose first-order expanded uncertainty is more than this part of it is
// sampled instead: the voltage stays near the level, so that the time does not
// go with the values in a straight line, and no straight line ends at empty.
const (
	straight      = 0.15
	straightAlone = 10 // s: a shorter uncertainty is left as it is
)

// Forecasts are the answers of RunTimes with their uncertainties: the spread of
// the packs' values and ModelError. The spread is to first order, of one pack by tangents
// that are carried along its simulation, else by differences; where that gives
// more than 15 % of a time, by a sample of what the packs may be, its
// uncertainty the half of the wider side of the middle 95 %. Where that interval
// is wider than the time itself there is an *UncertainError with its bounds, and
// no values. Packs count as known independently of each other.
func Forecasts(packs []KnownPack, d Demand, cutout *Cutout, ambient quantity.Celsius) ([]Forecast, error) {
	if len(packs) == 0 {
		return nil, errors.New("there is no pack")
	}
	build := func(cells []*Cell) []Pack {
		out := make([]Pack, len(packs))
		for i, p := range packs {
			out[i] = p.Pack
			out[i].Cell = cells[i]
		}
		return out
	}
	estimates := make([]*Estimate, len(packs))
	cells := make([]*Cell, len(packs))
	for i, p := range packs {
		estimates[i], cells[i] = p.Estimate, p.Estimate.Cell()
	}
	scenario, err := rundown(build(cells), d, cutout, ambient)
	if err != nil {
		return nil, err
	}
	var best *Outcome
	var slopes [][]float64
	followed := false
	if len(packs) == 1 {
		best, slopes, followed, err = estimates[0].slopesOfLevels(scenario, asItIs)
	} else {
		best, err = Simulate(scenario)
	}
	if err != nil {
		return nil, err
	}
	model := 0.0
	for i, p := range packs {
		amps := float64(best.Packs[i].Out) * 3600 / float64(best.Elapsed) / float64(p.Pack.Parallel)
		model = max(model, p.Estimate.ModelError(ambient, quantity.Amperes(amps)))
	}
	answers := func(cells []*Cell) ([]float64, error) {
		o, err := RunTimes(build(cells), d, cutout, ambient)
		var y []float64
		if tooMuch(err) { // for these cells; it runs no time at all
			for _, l := range best.Levels {
				y = append(y, 0, 0, 0, float64(l.Charge+l.Left))
			}
			return append(y, 0), nil
		}
		if err != nil {
			return nil, err
		}
		for _, l := range o.Levels {
			y = append(y, float64(l.At), float64(l.Charge), float64(l.Energy), float64(l.Left))
		}
		return append(y, float64(o.Elapsed)), nil
	}
	var spreads []Spread
	if followed {
		var values []float64
		for _, l := range best.Levels {
			values = append(values, float64(l.At), float64(l.Charge), float64(l.Energy), float64(l.Left))
		}
		spreads = spreadsOf(estimates, values, [][][]float64{slopes})
	} else if spreads, err = SpreadOver(estimates, answers); err != nil {
		return nil, err
	}
	var rows [][]float64 // of the sample, once one is needed
	var out []Forecast
	for i, l := range best.Levels {
		f := Forecast{Level: l.Level, Err: l.Err,
			Time: quantity.Missing[quantity.Seconds](), Charge: quantity.Missing[quantity.AmpereHours](),
			Energy: quantity.Missing[quantity.WattHours](), Left: quantity.Missing[quantity.AmpereHours]()}
		if l.Err != nil {
			out = append(out, f)
			continue
		}
		s := spreads[4*i : 4*i+4]
		u := [4]float64{s[0].U, s[1].U, s[2].U, s[3].U}
		if wide := quantity.CoverageFactor * math.Hypot(u[0], model*float64(l.At)); !(wide <= max(straight*float64(l.At), straightAlone)) {
			if rows == nil {
				if rows, err = sampled(estimates, answers); err != nil {
					return nil, err
				}
			}
			if u, f.Err = spreadOfLevel(rows, i, l, model); f.Err != nil {
				out = append(out, f)
				continue
			}
		}
		with := func(k int, of float64) float64 { return math.Hypot(u[k], model*of) }
		f.Time = quantity.Of(l.At, quantity.Seconds(with(0, float64(l.At))))
		f.Charge = quantity.Of(l.Charge, quantity.AmpereHours(with(1, float64(l.Charge))))
		f.Energy = quantity.Of(l.Energy, quantity.WattHours(with(2, float64(l.Energy))))
		f.Left = quantity.Of(l.Left, quantity.AmpereHours(with(3, float64(l.Charge))))
		f.Parts = s[0].Parts
		out = append(out, f)
	}
	return out, nil
}

// tooMuch says whether a load is more than the packs can give.
func tooMuch(err error) bool {
	_, collapsed := errors.AsType[*CollapseError](err)
	_, shorted := errors.AsType[*ShortedError](err)
	return collapsed || shorted
}

// spreadOfLevel is what a sample leaves open of the time, charge, energy and rest
// of a level: half of the wider side of the middle 95 %. A case in which the level
// is not reached counts by the end of its run.
func spreadOfLevel(rows [][]float64, level int, l Reached, model float64) (u [4]float64, err error) {
	var columns [4][]float64
	never := 0
	for _, y := range rows {
		at := y[4*level : 4*level+4]
		for k := range columns {
			v := at[k]
			if k == 0 && math.IsNaN(v) {
				v = y[len(y)-1]
				never++
			}
			columns[k] = append(columns[k], v)
		}
	}
	for k, value := range []float64{float64(l.At), float64(l.Charge), float64(l.Energy), float64(l.Left)} {
		low, high := middle95(columns[k])
		u[k] = max(high-value, value-low) / quantity.CoverageFactor
		if k > 0 {
			continue
		}
		low, high = low*(1-quantity.CoverageFactor*model), high*(1+quantity.CoverageFactor*model)
		if high-low > value {
			return u, &UncertainError{Level: l.Name, Volts: l.Volts, From: quantity.Seconds(low), To: quantity.Seconds(high), Likely: l.At, Never: float64(never) / float64(len(columns[0]))}
		}
	}
	return u, nil
}
