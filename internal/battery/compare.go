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

	Model     float64 // standard uncertainty of Predicted by what the unknowns do not hold, as a part of it: see Estimate.ModelError
	doubts    doubts
	Crossings []Crossing // of the levels that were asked for, those that the log reaches
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
	return p.compared(cell), nil
}

// compared is the residual of a cell with its time.
func (p *prepared) compared(cell *Cell) Residual {
	r := p.residual(cell)
	if s, ok := p.replay(cell, &r); ok {
		if o, err := Simulate(s); err == nil {
			r.Predicted = o.Levels[0].At - r.before(p)
		}
	}
	return r
}

// Compare is the same for the cell with the most likely values, and how unsure the predicted time is by what the estimate leaves open:
// its standard uncertainty, NaN where there is no time. The levels are voltages of the log's pack: those that the log reaches are
// compared as well.
func (e *Estimate) Compare(l Log, levels ...Level) (Residual, quantity.Seconds, error) {
	cell := e.Cell()
	p, err := prepareRows(l, cell.Chemistry, float64(cell.Capacity), true)
	none := quantity.Seconds(math.NaN())
	if err != nil {
		return Residual{}, none, err
	}
	r := p.residual(cell)
	r.Crossings = p.crossings(r, levels)
	s, ok := p.replay(cell, &r)
	if !ok {
		return r, none, nil
	}
	ends := s.Levels
	for _, c := range r.Crossings {
		s.Levels = append(s.Levels, Level{Name: c.Name, Volts: c.At, Delay: c.Delay})
	}
	u, charge, err := e.timesOf(p, cell, s)
	if err != nil {
		return r, none, err
	}
	at := Circumstances{Ambient: quantity.Celsius(p.startTemp), Cycles: l.Cycles}
	if load, err := LoadOf(l, cell.Capacity); err == nil {
		at.Current = load.Current.Value
	}
	model := func(i int, volts quantity.Volts) float64 {
		at.Volts, at.Charge = volts, charge[i]+quantity.AmpereHours(1-p.startCharge(cell))*cell.Capacity
		return e.ModelError(at)
	}
	r.Predicted, r.Model = u[0].Value-r.before(p), model(0, r.Cutoff)
	r.doubts = e.doubtsOf(at)
	for i := range r.Crossings {
		t, c := u[len(ends)+i], &r.Crossings[i]
		c.Predicted, c.U, c.Model = t.Value-r.before(p), t.U, model(len(ends)+i, c.At)
	}
	return r, u[0].U, nil
}

// before is the time on the log's clock before the first load.
func (r *Residual) before(p *prepared) quantity.Seconds { return r.First - quantity.Seconds(p.first.t) }

// timesOf are the times at which a replay reaches its levels, NaN where it does not, each with what the estimate leaves open, and the
// charge taken out by then.
func (e *Estimate) timesOf(p *prepared, cell *Cell, s Scenario) (out []quantity.Measured[quantity.Seconds], charge []quantity.AmpereHours, err error) {
	out, charge = make([]quantity.Measured[quantity.Seconds], len(s.Levels)), make([]quantity.AmpereHours, len(s.Levels))
	o, slopes, known, err := e.slopesOfLevels(s, p.started(cell))
	for i := range out {
		out[i] = quantity.Missing[quantity.Seconds]()
		if err != nil || o.Levels[i].Err != nil {
			continue
		}
		out[i], charge[i] = quantity.Unsure(o.Levels[i].At), o.Levels[i].Charge
		if known[i] {
			out[i].U = quantity.Seconds(math.Sqrt(e.variance(slopes, answersOfLevel*i, 0, places.n)))
			continue
		}
		spread, err := e.Spread(func(c *Cell) ([]float64, error) {
			again := s
			again.Levels = s.Levels[i : i+1]
			again.Packs = []Pack{NewPack(c, 1)}
			again.Packs[0].Charge, again.Packs[0].Temperature, again.Packs[0].Leads = p.startCharge(c), s.Packs[0].Temperature, s.Packs[0].Leads
			if o, err := Simulate(again); err == nil {
				return []float64{float64(o.Levels[0].At)}, nil
			}
			return []float64{math.NaN()}, nil
		})
		if err != nil {
			return nil, nil, err
		}
		out[i].U = quantity.Seconds(spread[0].U)
	}
	return out, charge, nil
}

// residual holds a cell against a log of which every row is kept.
func (p *prepared) residual(cell *Cell) Residual {
	r := Residual{Log: p.log.Name, Warmest: quantity.Celsius(math.NaN()), Predicted: quantity.Seconds(math.NaN())}
	volts, temps := make([]float64, len(p.marks)), make([]float64, len(p.marks))
	p.follow(cell, true, volts, temps)
	first, last, row := p.discharge(float64(cell.Capacity))
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
	r.First, r.Measured, r.Cutoff = quantity.Seconds(first), quantity.Seconds(last-first), quantity.Volts(math.NaN())
	if row >= 0 {
		r.Cutoff = quantity.Volts(p.log.Volts[row] / float64(p.log.Series))
	}
	return r
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

// replay is the current of the log's discharge, its last value going on, until the voltage at which the discharge ended; false where there is none.
func (p *prepared) replay(cell *Cell, r *Residual) (Scenario, bool) {
	var d Demand
	var until float64
	_, last, row := p.discharge(float64(cell.Capacity))
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
	if len(d.Parts) == 0 || row < 0 || math.IsNaN(float64(r.Cutoff)) || !(p.log.Amperes[row] > 0) {
		return Scenario{}, false
	}
	d.Parts = append(d.Parts, Part{Drawing(quantity.Amperes(p.log.Amperes[row])), quantity.Seconds(3*until + 3600)})
	pack := NewPack(cell, 1)
	pack.Charge, pack.Temperature, pack.Leads = p.startCharge(cell), quantity.Celsius(p.startTemp), quantity.Ohms(p.contact)
	return Scenario{Packs: []Pack{pack}, Demand: d, Ambient: quantity.Celsius(p.ambient),
		Levels: []Level{{Name: "end of discharge", Volts: r.Cutoff}}}, true
}
