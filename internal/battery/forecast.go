package battery

import (
	"errors"
	"math"

	"voltwright/internal/quantity"
)

// KnownPack is a pack whose cell is known only as far as an estimate goes; the
// Cell of Pack is not used.
type KnownPack struct {
	Estimate *Estimate
	Pack     Pack
	Cycles   float64 // that its cells have done, counted as those of the logs are
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
// uncertainty the half of the wider side of the middle 95 %. Where the interval of both
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
	var known []bool // of which levels the slopes are
	if len(packs) == 1 {
		best, slopes, known, err = estimates[0].slopesOfLevels(scenario, asItIs)
	} else {
		best, err = Simulate(scenario)
	}
	if err != nil {
		return nil, err
	}
	model := func(l Reached) (most float64) {
		for i, p := range packs {
			part := float64(best.Packs[i].Out/best.Charge) / float64(p.Pack.Parallel)
			drawn := (1 - p.Pack.Charge) * float64(cells[i].Capacity)
			amps := float64(best.Packs[i].Out) * 3600 / float64(best.Elapsed) / float64(p.Pack.Parallel)
			most = max(most, p.Estimate.ModelError(Circumstances{Ambient: ambient, Current: quantity.Amperes(amps), Cycles: p.Cycles,
				Volts: l.Volts / quantity.Volts(p.Pack.Series), Charge: quantity.AmpereHours(drawn + part*float64(l.Charge))}))
		}
		return most
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
	followed := known != nil // along one simulation, where it is so for all that is reached
	for i, l := range best.Levels {
		followed = followed && (l.Err != nil || known[i])
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
		part, never := model(l), 0.0
		if wide := quantity.CoverageFactor * u[0]; !(wide <= max(straight*float64(l.At), straightAlone)) {
			if rows == nil {
				if rows, err = sampled(estimates, answers); err != nil {
					return nil, err
				}
			}
			if u, never, f.Err = spreadOfLevel(rows, i, l, part); f.Err != nil {
				out = append(out, f)
				continue
			}
		}
		with := func(k int, of float64) float64 { return math.Hypot(u[k], part*of) }
		if all := quantity.Seconds(with(0, float64(l.At))); 2*quantity.CoverageFactor*all > l.At && all > straightAlone {
			e := &UncertainError{Level: l.Name, Volts: l.Volts, Likely: l.At, Never: never, Far: never == 0 && part > u[0]/float64(l.At)}
			e.From, e.To = Bounds(l.At, all)
			f.Err = e
			out = append(out, f)
			continue
		}
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
func spreadOfLevel(rows [][]float64, level int, l Reached, model float64) (u [4]float64, none float64, err error) {
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
		none = float64(never) / float64(len(columns[0]))
		wider := math.Exp(quantity.CoverageFactor * model)
		if high-low > value {
			return u, none, &UncertainError{Level: l.Name, Volts: l.Volts, From: quantity.Seconds(low / wider), To: quantity.Seconds(high * wider), Likely: l.At, Never: none}
		}
	}
	return u, none, nil
}
