package battery

import (
	"math"

	"voltwright/internal/quantity"
)

// Residual is how a cell's prediction stands against a measured log. Voltages
// are of one cell.
type Residual struct {
	Log         string
	First       quantity.Seconds // of the log's clock: where the first load begins
	Measured    quantity.Seconds // from the first load to the end of the discharge
	Predicted   quantity.Seconds // the same to the same voltage; NaN: none
	Cutoff      quantity.Volts   // of one cell: the last voltage under load
	Usable      quantity.Volts   // root mean square down to the conservative floor
	All         quantity.Volts   // the same down to the cutoff
	Drive       quantity.Volts   // the same over every row of the log, rests and charges too
	Warmest     quantity.Celsius // measured; NaN: not
	WarmestCalc quantity.Celsius

	Time     []float64 // s on the log's clock: the rows
	Modelled []float64 // V of one cell, predicted, at each of them
}

// TimeError is (predicted − measured)/measured, a ratio.
func (r Residual) TimeError() float64 { return float64(r.Predicted/r.Measured) - 1 }

// Compare predicts a log from its current alone, temperatures simulated, and
// says how far off that is. The run time is that of the discharge up to its
// last row under load: the logged current is replayed, its last value goes on. A log that Log.Check refuses is an error.
func Compare(cell *Cell, l Log) (Residual, error) {
	p, err := prepareRows(l, cell.Chemistry, float64(cell.Capacity), true)
	if err != nil {
		return Residual{}, err
	}
	r, _ := p.residual(cell, Simulate)
	return r, nil
}

// Compare is the same for the cell with the most likely values, and how unsure the predicted time is by what the estimate leaves open:
// its standard uncertainty, NaN where there is no time.
func (e *Estimate) Compare(l Log) (Residual, quantity.Seconds, error) {
	cell := e.Cell()
	p, err := prepareRows(l, cell.Chemistry, float64(cell.Capacity), true)
	none := quantity.Seconds(math.NaN())
	if err != nil {
		return Residual{}, none, err
	}
	var slopes [][]float64
	known := false
	r, o := p.residual(cell, func(s Scenario) (o *Outcome, err error) {
		o, slopes, known, err = e.slopesOfLevels(s, p.started(cell))
		return o, err
	})
	switch {
	case o == nil || math.IsNaN(float64(r.Predicted)):
		return r, none, nil
	case known:
		return r, quantity.Seconds(math.Sqrt(e.variance(slopes, 0, 0, places.n))), nil
	}
	s, err := e.Spread(func(c *Cell) ([]float64, error) {
		r, _ := p.residual(c, Simulate)
		return []float64{float64(r.Predicted)}, nil
	})
	if err != nil {
		return r, none, err
	}
	return r, quantity.Seconds(s[0].U), nil
}

// residual holds a cell against a log of which every row is kept; its end is simulated by simulate.
func (p *prepared) residual(cell *Cell, simulate func(Scenario) (*Outcome, error)) (Residual, *Outcome) {
	r := Residual{Log: p.log.Name, Warmest: quantity.Celsius(math.NaN()), Predicted: quantity.Seconds(math.NaN())}
	volts, temps := make([]float64, len(p.marks)), make([]float64, len(p.marks))
	p.follow(cell, true, volts, temps)
	first, last, end := p.discharge(float64(cell.Capacity))
	r.Modelled = volts
	var usable, all, drive mean
	below := false
	previous := p.first.t
	for i, m := range p.marks {
		next := m.t
		if i+1 < len(p.marks) {
			next = p.marks[i+1].t
		}
		r.Time = append(r.Time, m.t)
		d, dt := volts[i]-m.volts, (next-previous)/2
		previous = m.t
		drive.add(d, dt)
		r.WarmestCalc = max(r.WarmestCalc, quantity.Celsius(temps[i]))
		if p.measured && !(m.temp <= float64(r.Warmest)) {
			r.Warmest = quantity.Celsius(m.temp)
		}
		if m.t <= first || m.t > last {
			continue
		}
		below = below || m.volts < float64(cell.Chemistry.ConservativeFloor())
		all.add(d, dt)
		if !below {
			usable.add(d, dt)
		}
	}
	r.Usable, r.All, r.Drive = usable.root(), all.root(), drive.root()
	o := p.runTime(cell, first, last, end, &r, simulate)
	return r, o
}

// mean is a mean square, weighted by time.
type mean struct{ sum, weight float64 }

func (m *mean) add(d, w float64) { m.sum, m.weight = m.sum+d*d*w, m.weight+w }

func (m mean) root() quantity.Volts { return quantity.Volts(math.Sqrt(m.sum / m.weight)) }

// discharge finds when the first discharge began and ended: from the first row
// with more than a fiftieth of the capacity in amperes to the last before a rest
// of more than 30 s or a charge that ends the run.
// row is the place of the last in the log: several rows may have one time.
func (p *prepared) discharge(capacity float64) (first, last float64, row int) {
	threshold := 0.02 * capacity
	first, last, row = math.NaN(), math.NaN(), -1
	l := p.log
	lowest := math.Inf(1)
	previous := l.Time[0]
	for i, t := range l.Time {
		if math.IsNaN(t + l.Amperes[i] + l.Volts[i]) {
			continue
		}
		if l.Amperes[i] > threshold {
			if math.IsNaN(first) {
				first = previous
			}
			// The end is the lowest voltage under load.
			if v := l.Volts[i]; v <= lowest {
				lowest, last, row = v, t, i
			}
		}
		previous = t
	}
	return first, last, row
}

// runTime predicts when the cell comes down to the voltage at which the log's discharge ended.
func (p *prepared) runTime(cell *Cell, first, last float64, row int, r *Residual, simulate func(Scenario) (*Outcome, error)) *Outcome {
	var d Demand
	var until float64
	volts, amps := math.NaN(), math.NaN()
	if row >= 0 {
		volts, amps = p.log.Volts[row]/float64(p.log.Series), p.log.Amperes[row]
	}
	at := p.first.t
	for _, piece := range p.pieces {
		if at >= last-1e-9 {
			break
		}
		if piece.seconds > 0 {
			d.Parts = append(d.Parts, Part{Drawing(quantity.Amperes(piece.amps)), quantity.Seconds(piece.seconds)})
		}
		at += piece.seconds
		until = at
	}
	r.First, r.Measured, r.Cutoff = quantity.Seconds(first), quantity.Seconds(last-first), quantity.Volts(volts)
	if len(d.Parts) == 0 || math.IsNaN(volts) || !(amps > 0) {
		return nil
	}
	d.Parts = append(d.Parts, Part{Drawing(quantity.Amperes(amps)), quantity.Seconds(3*until + 3600)})
	pack := NewPack(cell, 1)
	pack.Charge, pack.Temperature = p.startCharge(cell), quantity.Celsius(p.startTemp)
	o, err := simulate(Scenario{Packs: []Pack{pack}, Demand: d, Ambient: quantity.Celsius(p.ambient),
		Levels: []Level{{Name: "end of discharge", Volts: r.Cutoff}}})
	if err != nil {
		return nil
	}
	r.Predicted = o.Levels[0].At - quantity.Seconds(first-p.first.t)
	return o
}
