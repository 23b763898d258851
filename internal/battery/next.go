package battery

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"voltwright/internal/quantity"
)

// Trial is a run that could be made: from full, under one load, down to where the answer ends.
type Trial struct {
	Load    Load
	Ambient quantity.Celsius
}

// Narrowed tells how unsure the time of a pack to its cutout, or without one to the conservative floor, is now, and how unsure it would be after
// each of some runs: standard uncertainties. A run is taken to tell its own time but for what is always unsure of one; what it tells of the unknowns
// follows from how both times go with them (the covariance of a normal distribution after one more observation), and what else the interval
// holds is counted with the run among those that taught. It is an error where the times do not go with the unknowns in one piece.
func Narrowed(p KnownPack, d Demand, cutout *Cutout, ambient quantity.Celsius, trials []Trial) (now quantity.Measured[quantity.Seconds], after []quantity.Seconds, err error) {
	e := p.Estimate
	answer, err := e.ofPack(p, d, cutout, ambient)
	if err != nil {
		return quantity.Missing[quantity.Seconds](), nil, err
	}
	c := e.seen()
	d0 := e.doubtsOf(answer.at)
	variance := mat.Inner(answer.slopes, e.cov, answer.slopes)
	total := func(v float64, d doubts) quantity.Seconds {
		return quantity.Seconds(math.Hypot(math.Sqrt(max(0, v)), answer.time*modelWidths.of(d)))
	}
	for _, t := range trials {
		run, err := e.ofPack(p, Steady(t.Load), cutout, t.Ambient)
		if err != nil {
			after = append(after, quantity.Seconds(math.NaN()))
			continue
		}
		both := mat.Inner(answer.slopes, e.cov, run.slopes)
		told := mat.Inner(run.slopes, e.cov, run.slopes) + math.Pow(modelWidths.Base*run.time, 2)
		after = append(after, total(variance-both*both/told, d0.with(c, answer.at, run.at)))
	}
	return quantity.Of(quantity.Seconds(answer.time), total(variance, d0)), after, nil
}

// with are the doubts of an answer after one more run.
func (d doubts) with(c conditions, answer, run Circumstances) doubts {
	if len(c.logs) == 0 {
		c.least, c.most, c.low, c.high = math.Inf(1), 0, math.Inf(1), math.Inf(-1)
	}
	amps, nearest := float64(answer.Current), math.Inf(1)
	for _, a := range c.amps {
		if far := math.Abs(math.Log(a / amps)); far < nearest {
			nearest = far
		}
	}
	c.least, c.most = min(c.least, float64(run.Current)), max(c.most, float64(run.Current))
	c.low, c.high = min(c.low, float64(run.Ambient)), max(c.high, float64(run.Ambient))
	d.typical, d.alone, d.label = false, len(c.logs) == 0, 0
	d.doublings = max(0, math.Log2(c.least/amps), math.Log2(amps/c.most))
	d.colder, d.warmer = max(0, c.low-float64(answer.Ambient)), max(0, float64(answer.Ambient)-c.high)
	d.chill = chilled(d.colder, amps, c.holds)
	if math.Abs(math.Log(float64(run.Current)/amps)) < nearest {
		d.beyond = math.Abs(math.Log(float64(answer.Charge / run.Charge)))
	}
	return d
}

// timeOfPack is the time of a pack to where it ends, s, how it goes with the unknowns, and under what circumstances.
type timeOfPack struct {
	time   float64
	slopes *mat.VecDense
	at     Circumstances
}

func (e *Estimate) ofPack(p KnownPack, d Demand, cutout *Cutout, ambient quantity.Celsius) (timeOfPack, error) {
	pack := p.Pack
	pack.Cell, pack.Temperature = e.Cell(), ambient
	s, err := rundown([]Pack{pack}, d, cutout, ambient)
	if err != nil {
		return timeOfPack{}, err
	}
	if s.Levels = s.Levels[:1]; cutout != nil {
		all := FloorLevels(pack, cutout)
		s.Levels = all[len(all)-1:]
	}
	o, slopes, known, err := e.slopesOfLevels(s, asItIs)
	if err != nil {
		return timeOfPack{}, err
	}
	if !known[0] {
		return timeOfPack{}, errors.New("its time does not go with what is known of the pack in one piece")
	}
	out := timeOfPack{time: float64(o.Levels[0].At), slopes: mat.NewVecDense(places.n, nil)}
	for i, row := range slopes {
		out.slopes.SetVec(i, row[0])
	}
	charge := float64(o.Levels[0].Charge) / float64(pack.Parallel)
	out.at = Circumstances{Ambient: ambient, Current: quantity.Amperes(charge * 3600 / out.time), Volts: o.Levels[0].Volts / quantity.Volts(pack.Series),
		Charge: quantity.AmpereHours(charge + (1-pack.Charge)*float64(pack.Cell.Capacity)), Cycles: p.Cycles}
	return out, nil
}
