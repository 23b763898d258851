package battery

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// gonum has no least squares that are not straight: its optimize.Newton searches along a line, with some evaluations for each step,
// where the damping of Levenberg and Marquardt takes one. So the loop is here, and the matrices are gonum's.

// summed is what the rows of one log come to: the sum of the squares of their residuals, and its halves' slopes and curvature along the ways.
type summed struct {
	sum   float64
	slope *mat.VecDense
	bend  *mat.SymDense
}

// lines are residuals as straight lines around the unknowns xi, log by log.
type lines struct {
	ways   *ways
	logs   []summed // at doubts of 1
	stated summed   // of the stated resistance; no bend: none is
}

// linesAt computes them.
func (f *fit) linesAt(k kind, free []int, xi []float64) (*lines, error) {
	cell, err := f.typical.cell(xi)
	if err != nil {
		return nil, err
	}
	l := &lines{}
	if l.ways, err = f.typical.waysOf(cell, xi, free); err != nil {
		return nil, err
	}
	for _, p := range f.logs {
		var s summed
		if k == electric || p.measured {
			s = p.summed(cell, l.ways, k)
		}
		l.logs = append(l.logs, s)
	}
	if k == electric && f.stated.Known() {
		r := float64(cell.ResistanceAt(0.5, cell.Reference, statedAfter))
		row := make([]float64, len(l.ways.own))
		for n := range row {
			row[n] = l.ways.own[n].resistance(cell) / r / f.statedSure()
		}
		l.stated = sums(1, len(row), []float64{math.Log(r/float64(f.stated.Value)) / f.statedSure()}, row)
	}
	return l, nil
}

// sums are those of rows of residuals and of their slopes.
func sums(rows, columns int, r, slopes []float64) summed {
	s := summed{slope: mat.NewVecDense(columns, nil), bend: mat.NewSymDense(columns, nil)}
	if rows == 0 {
		return s
	}
	j, v := mat.NewDense(rows, columns, slopes), mat.NewVecDense(rows, r)
	s.sum = mat.Dot(v, v)
	s.slope.MulVec(j.T(), v)
	s.bend.SymOuterK(1, j.T())
	return s
}

// resistance is how the stated resistance goes with an unknown, Ω.
func (o *own) resistance(c *Cell) float64 {
	out := o.ohmic.at(0.5)
	for i, b := range c.Branches {
		r, time := []Profile{o.fast, o.slow}[i], []float64{o.fastTime, o.slowTime}[i]
		x := statedAfter / float64(b.Time)
		out += r.at(0.5)*-math.Expm1(-x) - b.Resistance.At(0.5)*math.Exp(-x)*x/float64(b.Time)*time
	}
	return out
}

// summed follows a log with the tangents of the ways and sums its rows up.
func (p *prepared) summed(c *Cell, w *ways, k kind) summed {
	rows, n := 0, len(w.own)
	room := roomForRows.Get().(*rowRoom)
	defer roomForRows.Put(room)
	r, slopes := slices.Grow(room.r[:0], len(p.marks)), slices.Grow(room.slopes[:0], n*len(p.marks))
	p.slopes(c, w, k, func(mark int, value float64, row []float64) {
		m := &p.marks[mark]
		off, sure := value-m.volts, m.sigma
		if k == thermal {
			off, sure = value-m.temp, p.warmSure()
		}
		r = append(r, off/sure)
		for _, v := range row {
			slopes = append(slopes, v/sure)
		}
		rows++
	})
	room.r, room.slopes = r, slopes
	return sums(rows, n, r, slopes)
}

// rowRoom is room for the rows of a log, which are many times as large as what they are summed up to.
type rowRoom struct{ r, slopes []float64 }

var roomForRows = sync.Pool{New: func() any { return &rowRoom{} }}

// started tells how the charge at the first row goes with what changes in a cell: with its curve, or with its capacity.
func (p *prepared) started(c *Cell) func(*own) float64 {
	start := p.startCharge(c)
	return func(o *own) float64 {
		if !math.IsNaN(p.drawn) {
			return p.drawn / float64(c.Capacity) / float64(c.Capacity) * o.capacity
		}
		if o.moved == nil {
			return 0
		}
		moved := *c
		moved.Curve = o.moved
		return (p.startCharge(&moved) - start) / tangentStep
	}
}

// slopes runs a cell along a prepared log as follow does, and tells at each observation that counts the voltage, or the temperature, and
// how it changes with each of the ways.
func (p *prepared) slopes(c *Cell, w *ways, k kind, tell func(mark int, value float64, row []float64)) {
	e := newElement(NewPack(c, 1))
	e.y.charge, e.y.temp = p.startCharge(c), p.startTemp
	simulated := k == thermal || !p.measured
	e.thermal = e.thermal && simulated
	ts := w.tangents(&e, e.thermal, e.thermal, p.started(c))
	row := make([]float64, len(ts))
	for _, piece := range p.pieces {
		if !simulated {
			e.y.temp = piece.temp
		}
		if piece.seconds > 0 {
			steps := p.steps(&e, piece)
			h := piece.seconds / float64(steps)
			for range steps {
				e.holdWith(ts, piece.amps, h, p.ambient)
			}
		}
		if piece.mark < 0 || k == electric && p.marks[piece.mark].charging {
			continue
		}
		if k == thermal {
			for n := range ts {
				row[n] = ts[n].y.temp
			}
			tell(piece.mark, e.y.temp, row)
			continue
		}
		amps := p.marks[piece.mark].amps
		at := e.pointAt(e.y, amps)
		e.behind(&e.y, &e.now)
		low, high := min(at.y.charge, at.y.charge-at.y.lag), max(at.y.charge, at.y.charge-at.y.lag)
		for n := range ts {
			t := &ts[n]
			o := t.own
			if !o.seen.holds(low, high) {
				o = nil
			}
			row[n] = o.emf(c.Curve, &at, &t.y) - amps*o.ohms(&at, &t.y)
		}
		tell(piece.mark, e.now.emf-e.now.ohms*amps, row)
	}
}

// system is a least-squares problem near some values of the free unknowns, as if it were straight.
type system struct {
	value float64 // half the sum of squares
	slope *mat.VecDense
	bend  *mat.SymDense
}

// systemAt is that of all logs.
func (f *fit) systemAt(k kind, free []int, xi []float64) (*system, error) {
	l, err := f.linesAt(k, free, xi)
	if err != nil {
		return nil, err
	}
	return l.system(free, xi, f.doubts, -1), nil
}

// system puts logs but the one without together, each row less sure by doubts, with the free unknowns themselves.
func (l *lines) system(free []int, xi []float64, doubts float64, without int) *system {
	n := len(l.ways.own)
	s := &system{slope: mat.NewVecDense(len(free), nil), bend: mat.NewSymDense(len(free), nil)}
	slope, bend := mat.NewVecDense(n, nil), mat.NewSymDense(n, nil)
	add := func(of summed, doubts float64) {
		if of.bend == nil {
			return
		}
		by := 1 / doubts / doubts
		s.value += of.sum * by / 2
		slope.AddScaledVec(slope, by, of.slope)
		for i := range n {
			for j := i; j < n; j++ {
				bend.SetSym(i, j, bend.At(i, j)+by*of.bend.At(i, j))
			}
		}
	}
	for i, log := range l.logs {
		if i != without {
			add(log, doubts)
		}
	}
	add(l.stated, 1)
	s.slope.MulVec(l.ways.sums.T(), slope)
	var half, whole mat.Dense
	half.Mul(bend, l.ways.sums)
	whole.Mul(l.ways.sums.T(), &half)
	for i, a := range free {
		s.value += xi[a] * xi[a] / 2
		s.slope.SetVec(i, s.slope.AtVec(i)+xi[a])
		for j := i; j < len(free); j++ {
			s.bend.SetSym(i, j, (whole.At(i, j)+whole.At(j, i))/2)
		}
		s.bend.SetSym(i, i, s.bend.At(i, i)+1)
	}
	return s
}

// step is the one of Gauss and Newton, damped, and by how much it lowers the value if all is straight; false: there is none.
func (s *system) step(damping float64) (d *mat.VecDense, lower float64, ok bool) {
	n := s.slope.Len()
	bend := s.bend
	if damping > 0 {
		bend = mat.NewSymDense(n, nil)
		bend.CopySym(s.bend)
		for i := range n {
			bend.SetSym(i, i, bend.At(i, i)+damping)
		}
	}
	var c mat.Cholesky
	d = mat.NewVecDense(n, nil)
	if !c.Factorize(bend) || c.SolveVecTo(d, s.slope) != nil {
		return nil, 0, false
	}
	d.ScaleVec(-1, d)
	lower = -mat.Dot(d, s.slope) - mat.Inner(d, s.bend, d)/2
	return d, lower, !math.IsNaN(lower)
}

// promise is the value that one step would come to, were the residuals straight.
func (s *system) promise() float64 {
	if _, lower, ok := s.step(0); ok {
		return s.value - lower
	}
	return math.Inf(1)
}

// How a search goes and ends: a step that lowers half the sum of squares by less than enough, or would if there were no corner, is the last;
// it is within a twelfth of a standard deviation of where it goes. With firstDamp on the unknowns, whose spread is 1, the step is about
// halved where the rows say nothing; it comes after a step that lowers it by less than poorGain of what it promised. Own choice, no source.
const (
	enough    = 3e-3
	mostTries = 60
	firstDamp = 1
	poorGain  = 0.25
	leastDamp = 0.03
	mostDamp  = 1e7
)

// descend moves a candidate to where half the sum of squares is least: Levenberg's and Marquardt's method, the unknowns being of one scale,
// with the damping of H. B. Nielsen (Damping parameter in Marquardt's method, IMM-REP-1999-05; from memory).
func (f *fit) descend(k kind, free []int, c *candidate) (steps int, err error) {
	damping, more := 0.0, 2.0
	for ; steps < mostTries; steps++ {
		if c.at == nil {
			if c.at, err = f.systemAt(k, free, c.xi); err != nil {
				return steps, err
			}
		}
		c.value = c.at.value
		d, lower, ok := c.at.step(damping)
		value, to := math.Inf(1), []float64(nil)
		if ok {
			to = slices.Clone(c.xi)
			for n, i := range free {
				to[i] += d.AtVec(n)
			}
			if value, err = f.value(k, free, to); err != nil {
				return steps, err
			}
		}
		gain := c.value - value
		if gain > 0 {
			c.xi, c.value, c.at = to, value, nil
			if lower < enough && gain < 10*enough {
				return steps + 1, nil
			}
			damping, more = damped(damping, gain, lower), 2
			continue
		}
		if ok && lower < enough || damping > mostDamp {
			return steps + 1, nil
		}
		damping = max(firstDamp, damping*more)
		more *= 2
	}
	return steps, nil
}

// damped is the damping after a step that lowered half the sum of squares by gain, where it had promised lower.
func damped(damping, gain, lower float64) float64 {
	if damping *= max(1./3, 1-math.Pow(2*gain/lower-1, 3)); damping >= leastDamp {
		return damping
	}
	if gain < poorGain*lower { // it goes to and fro
		return firstDamp
	}
	return 0
}

// covariance of all unknowns: the inverse of the bend, the data counted for less where they still fit worse than their σ. Unknowns that
// are not free keep theirs.
func (s *system) covariance(free []int, misfit float64) (*mat.SymDense, error) {
	by := 1 / max(1, misfit)
	bend := mat.NewSymDense(len(free), nil)
	for i := range free {
		for j := i; j < len(free); j++ {
			one := 0.0
			if i == j {
				one = 1
			}
			bend.SetSym(i, j, (s.bend.At(i, j)-one)*by+one)
		}
	}
	var c mat.Cholesky
	if !c.Factorize(bend) {
		return nil, errors.New("the logs and what is typical do not fix the values of the cell")
	}
	var inverse mat.SymDense
	if err := c.InverseTo(&inverse); err != nil {
		return nil, fmt.Errorf("the covariance cannot be had: %w", err)
	}
	out := mat.NewSymDense(places.n, nil)
	for i := range places.n {
		out.SetSym(i, i, 1)
	}
	for a, i := range free {
		for b, k := range free {
			out.SetSym(i, k, inverse.At(a, b))
		}
	}
	return out, nil
}
