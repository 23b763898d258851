package battery

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// Log is a measured run as plain rows of one length: time in s, not falling;
// current in A, discharge positive; terminal voltage in V; temperature of the
// cells in °C, nil or with NaN where there is none.
type Log struct {
	Name    string
	Series  int // cells in series
	Time    []float64
	Amperes []float64
	Volts   []float64
	Celsius []float64

	Ambient quantity.Measured[quantity.Celsius]     // missing: the first temperature of the log, else 25 °C
	Drawn   quantity.Measured[quantity.AmpereHours] // taken out since full before the first row; missing: from the first rest voltage, else full

	Counting quantity.Fraction // standard uncertainty of its charge, as a part of it; 0: not known
	Contact  quantity.Ohms     // in its plugs and leads, of the log's pack and at the log's currents, beside what packs of its kind have
	Cycles   float64           // that the cell had done before it, as far as they were counted
}

// NewLog is a log of which only the rows are known.
func NewLog(name string, series int, time, amperes, volts, celsius []float64) Log {
	return Log{Name: name, Series: series, Time: time, Amperes: amperes, Volts: volts, Celsius: celsius,
		Ambient: quantity.Missing[quantity.Celsius](), Drawn: quantity.Missing[quantity.AmpereHours]()}
}

// Check says what is wrong with a log, or nil.
func (l Log) Check() error {
	n := len(l.Time)
	switch {
	case n < 2:
		return fmt.Errorf("the log %q has %d rows: at least two are needed", l.Name, n)
	case len(l.Amperes) != n || len(l.Volts) != n || l.Celsius != nil && len(l.Celsius) != n:
		return fmt.Errorf("the log %q has columns of unlike length", l.Name)
	case l.Series < 1:
		return fmt.Errorf("the log %q: cells in series are not known", l.Name)
	}
	return nil
}

// stretchOf is a piece of a prepared log with one current.
type stretchOf struct {
	seconds, amps, temp float64 // temp NaN: to be simulated
	mark                int     // index of the observation at its end, -1 for none
}

// observation is a row that the model is compared with, of one cell.
type observation struct {
	t, amps, volts, temp float64
	sigma                float64
	first                bool // the cell rests before the log begins
	charging             bool // in a charge of more than a hundredth of the capacity
}

// prepared is a log cut down to what a fit needs: a current for every stretch,
// and observations where something happens.
type prepared struct {
	log        Log
	pieces     []stretchOf
	marks      []observation
	first      observation
	drawn      float64 // Ah since full; NaN: from the rest voltage
	restStart  float64 // rest voltage of a cell at the start; NaN: the log starts under load
	ambient    float64
	startTemp  float64
	measured   bool // temperatures are measured
	fullAssume bool
	lowest     float64 // state of charge in the latest follow
	contact    float64 // Ω of a cell, where every row is kept; a fit's observations are without it
}

// How rows are picked: a row is kept when one of these has changed enough since
// the last kept one.
const (
	keptCharge   = 0.004 // of the capacity
	keptVolts    = 0.012 // V of a cell
	keptCurrent  = 0.03  // of the one-hour current and of the current: a new stretch begins
	keptTime     = 1.25  // ratio of times since the last change of current
	enoughMarks  = 1500
	enoughPieces = 12000
)

// prepare cuts a log down. capacity is the rated one, Ah.
func prepare(l Log, c *Chemistry, capacity float64) (*prepared, error) {
	return prepareRows(l, c, capacity, false)
}

// prepareRows keeps every row as an observation where all is set.
func prepareRows(l Log, c *Chemistry, capacity float64, all bool) (*prepared, error) {
	if err := l.Check(); err != nil {
		return nil, err
	}
	s := float64(l.Series)
	p := &prepared{log: l, drawn: float64(l.Drawn.Value), restStart: math.NaN()}
	rows := usableRows(l)
	if len(rows) < 2 {
		return nil, fmt.Errorf("the log %q has fewer than two rows with time, current and voltage", l.Name)
	}
	temps := filled(l, rows)
	p.measured = temps != nil
	at := func(k int) observation {
		i := rows[k]
		o := observation{t: l.Time[i], amps: l.Amperes[i], volts: l.Volts[i] / s, temp: math.NaN()}
		if !all {
			o.volts += l.Amperes[i] * float64(l.Contact) / s
		}
		if temps != nil {
			o.temp = temps[k]
		}
		return o
	}
	if all {
		p.contact = float64(l.Contact) / s
	}
	p.first = at(0)
	p.startTemp, p.ambient = p.first.temp, float64(l.Ambient.Value)
	if math.IsNaN(p.startTemp) {
		p.startTemp = p.ambient
	}
	if math.IsNaN(p.startTemp) {
		p.startTemp = 25
	}
	if math.IsNaN(p.ambient) {
		p.ambient = p.startTemp
	}
	p.start(c, capacity)
	p.pick(at, len(rows), capacity, c.value("ohmic")*(1+c.value("branch-share"))/capacity, all)
	if len(p.marks) == 0 {
		return nil, errors.New("the log " + l.Name + " has no row to compare with")
	}
	return p, nil
}

// start settles the charge at the first row. A cell that rests at a voltage of
// 97 % or more on its typical curve counts as full: full is where a charge ended.
func (p *prepared) start(c *Chemistry, capacity float64) {
	if !math.IsNaN(p.drawn) {
		return
	}
	if math.Abs(p.first.amps) < 0.02*capacity {
		if z, _ := c.curve.Charge(quantity.Volts(p.first.volts)); z < 0.97 {
			p.restStart = p.first.volts
			return
		}
	} else {
		p.fullAssume = true
	}
	p.drawn = 0
}

// usableRows are the rows with numbers whose time does not go back.
func usableRows(l Log) []int {
	var rows []int
	last := math.Inf(-1)
	for i, t := range l.Time {
		if math.IsNaN(t+l.Amperes[i]+l.Volts[i]) || t < last {
			continue
		}
		rows = append(rows, i)
		last = t
	}
	return rows
}

// filled carries the last temperature over rows without one; nil where there is none at all.
func filled(l Log, rows []int) []float64 {
	if l.Celsius == nil {
		return nil
	}
	out := make([]float64, len(rows))
	last, any := math.NaN(), false
	for k, i := range rows {
		if v := l.Celsius[i]; !math.IsNaN(v) {
			if !any {
				for j := range k {
					out[j] = v
				}
			}
			last, any = v, true
		}
		out[k] = last
	}
	if !any {
		return nil
	}
	return out
}

// pick walks the rows and keeps what matters.
func (p *prepared) pick(at func(int) observation, n int, capacity, ohms float64, all bool) {
	last := p.first // last kept observation
	cut := p.first  // where the present stretch began
	previous := p.first
	var charge, moved, warm, warmTime float64 // A s of the stretch and since the last observation; K s
	sinceStep, chargedIn := 0.0, 0.0
	if math.Abs(p.first.amps) < 0.02*capacity {
		rested := p.first
		rested.first = true
		p.pieces = append(p.pieces, stretchOf{temp: rested.temp, mark: 0})
		p.marks = append(p.marks, rested)
	}
	for k := 1; k < n; k++ {
		o := at(k)
		dt := o.t - previous.t
		jump := math.Abs(o.amps-previous.amps) > keptCurrent*(capacity+math.Abs(o.amps))
		charge += (o.amps + previous.amps) / 2 * dt
		moved += math.Abs(o.amps+previous.amps) / 2 * dt
		if o.amps < 0 {
			chargedIn -= o.amps * dt
		} else if o.amps > 0.02*capacity {
			chargedIn = 0
		}
		warm, warmTime = warm+(o.temp+previous.temp)/2*dt, warmTime+dt
		if jump {
			sinceStep = 0
		} else {
			sinceStep += dt
		}
		keep := all || jump || k == n-1 || moved > keptCharge*3600*capacity || math.Abs(o.volts-last.volts) > keptVolts ||
			sinceStep > keptTime*(last.t-(o.t-sinceStep))+0.05 && math.Abs(o.volts-last.volts) > 5e-4
		if keep || math.Abs(o.amps-cut.amps) > keptCurrent*(capacity+math.Abs(o.amps)) {
			piece := stretchOf{seconds: o.t - cut.t, amps: o.amps, temp: o.temp, mark: -1}
			if piece.seconds > 0 {
				piece.amps = charge / piece.seconds
				piece.temp = warm / warmTime
			}
			if keep {
				o.sigma = timing(previous, o, at(min(k+1, n-1)), ohms)
				o.charging = o.amps < 0 && chargedIn > 36*capacity
				piece.mark = len(p.marks)
				p.marks = append(p.marks, o)
				last, moved = o, 0
			}
			p.pieces = append(p.pieces, piece)
			cut, charge, warm, warmTime = o, 0, 0, 0
		}
		previous = o
	}
	if !all {
		p.thin()
	}
}

// timing is how far the voltage of a row can be off because current and voltage
// of a logger belong to moments up to a second apart: the jump that the current
// makes to the row before or after, times a typical resistance, or the jump of
// the voltage beside it, less where the rows are further apart than that.
func timing(before, o, after observation, ohms float64) float64 {
	jump := func(a, b observation) float64 {
		amps := ohms * math.Abs(b.amps-a.amps)
		if amps < 1e-3 {
			return amps
		}
		return max(amps, math.Abs(b.volts-a.volts)) / max(1, b.t-a.t)
	}
	return max(jump(before, o), jump(o, after))
}

// thin drops observations, evenly, where there are more than a fit needs, and
// then joins stretches without one where there are more than it can run in good time.
func (p *prepared) thin() {
	if len(p.marks) > enoughMarks {
		every := (len(p.marks) + enoughMarks - 1) / enoughMarks
		var kept []observation
		for i := range p.pieces {
			if m := p.pieces[i].mark; m >= 0 {
				if m%every != 0 {
					p.pieces[i].mark = -1
					continue
				}
				p.pieces[i].mark = len(kept)
				kept = append(kept, p.marks[m])
			}
		}
		p.marks = kept
	}
	if len(p.pieces) <= enoughPieces {
		return
	}
	var total float64
	for _, piece := range p.pieces {
		total += piece.seconds
	}
	shortest := total / (enoughPieces - enoughMarks)
	joined := p.pieces[:1]
	for _, piece := range p.pieces[1:] {
		last := &joined[len(joined)-1]
		if last.mark >= 0 || last.seconds >= shortest {
			joined = append(joined, piece)
			continue
		}
		if both := last.seconds + piece.seconds; both > 0 {
			last.amps = (last.amps*last.seconds + piece.amps*piece.seconds) / both
			last.temp = (last.temp*last.seconds + piece.temp*piece.seconds) / both
			last.seconds = both
		}
		last.mark = piece.mark
	}
	p.pieces = joined
}

// counted are the observations that a fit uses.
func (p *prepared) counted() int {
	n := 0
	for _, m := range p.marks {
		if !m.charging {
			n++
		}
	}
	return n
}

// startCharge is the state of charge of a cell at the first row.
func (p *prepared) startCharge(c *Cell) float64 {
	if math.IsNaN(p.drawn) {
		z, _ := c.Curve.Charge(quantity.Volts(p.restStart))
		return z
	}
	return 1 - p.drawn/float64(c.Capacity)
}

// follow runs a cell along a prepared log and gives voltage and temperature at
// the observations. With simulated, temperatures are computed even where the
// log has them.
func (p *prepared) follow(c *Cell, simulated bool, volts, temps []float64) {
	e := newElement(NewPack(c, 1))
	e.y.charge, e.y.temp = p.startCharge(c), p.startTemp
	simulated = simulated || !p.measured
	e.thermal = simulated && c.HeatCapacity > 0
	p.lowest = e.y.charge
	for _, piece := range p.pieces {
		if !simulated {
			e.y.temp = piece.temp
		}
		if piece.seconds > 0 {
			steps := p.steps(&e, piece)
			h := piece.seconds / float64(steps)
			for range steps {
				e.hold(piece.amps, h, p.ambient)
			}
		}
		p.lowest = min(p.lowest, e.y.charge)
		if piece.mark < 0 {
			continue
		}
		e.behind(&e.y, &e.now)
		volts[piece.mark] = e.now.emf - (e.now.ohms+p.contact)*p.marks[piece.mark].amps
		if temps != nil {
			temps[piece.mark] = e.y.temp
		}
	}
}

// steps are those in which a stretch is run.
func (p *prepared) steps(e *element, piece stretchOf) int {
	n := 1 + int(min(math.Abs(piece.amps)*piece.seconds*e.perHour/0.01, mostSteps))
	if e.thermal {
		n = max(n, 1+int(piece.seconds/300))
	}
	return n
}

// mostSteps bounds the steps of a stretch, for cells that are tried and far too small for the log.
const mostSteps = 200

// hold moves the element on under a constant current.
func (e *element) hold(amps, h, ambient float64) {
	y := e.y
	e.behind(&y, &e.now)
	e.carry(&y, &e.now, amps)
	guess, _ := e.advance(y, &e.now, &e.now, ambient, h)
	e.behind(&guess, &e.then)
	e.carry(&guess, &e.then, amps)
	e.y, _ = e.advance(y, &e.now, &e.then, ambient, h)
}
