package battery

import "gonum.org/v1/gonum/mat"

// A curve and a resistance are told by their knots, each of which changes a small part of the charge; the unknowns, which are
// independent, are sums of these. So the tangents are carried for the knots, and what they come to is summed up at the end.

// ways are those in which a cell is changed, of which the changes with all free unknowns are made.
type ways struct {
	own  []own
	sums *mat.Dense // ways × free: how much of each is in an unknown
}

// spreadOut is one Gaussian process among the unknowns.
type spreadOut struct {
	level, from, n int // level: −1 for none
	whole, scale   float64
	root           *mat.TriDense
}

// processes are the curves among the unknowns. The unknown at level moves all knots by whole, the others by their root times scale.
func (t *typical) processes() []spreadOut {
	l := places
	u := func(name string) float64 { return t.chemistry.Facts[name].U }
	return []spreadOut{
		{-1, l.curve, curveKnots, 0, 1, shape.curveRoot},
		{l.ohm, l.ohm + 1, ohmKnots, u("ohmic"), ohmShape, shape.ohmRoot},
		{l.fast, l.fast + 1, ohmKnots, u("branch-share"), fastShape, shape.ohmRoot},
		{l.slow, l.slow + 1, ohmKnots, u("slow-share"), slowShape, shape.ohmRoot},
		{l.entropic, l.entropic + 1, heatKnots, u("entropic") / 2, u("entropic"), shape.heatRoot},
	}
}

// waysOf are the ways in which the cell of the unknowns xi changes with those that are free.
func (t *typical) waysOf(cell *Cell, xi []float64, free []int) (*ways, error) {
	column := make([]int, places.n)
	for i := range column {
		column[i] = -1
	}
	for k, i := range free {
		column[i] = k
	}
	type part struct {
		way, free int
		of        float64
	}
	var parts []part
	w := &ways{}
	done := make([]bool, places.n)
	for kind, p := range t.processes() {
		first, wanted := p.from, false
		if p.level >= 0 {
			first = p.level
		}
		for i := first; i < p.from+p.n; i++ {
			wanted, done[i] = wanted || column[i] >= 0, true
		}
		if !wanted {
			continue
		}
		for knot := range p.n {
			o, err := t.knot(cell, xi, kind, knot)
			if err != nil {
				return nil, err
			}
			if p.level >= 0 && column[p.level] >= 0 {
				parts = append(parts, part{len(w.own), column[p.level], p.whole})
			}
			for j := range knot + 1 {
				if k := column[p.from+j]; k >= 0 {
					parts = append(parts, part{len(w.own), k, p.scale * p.root.At(knot, j)})
				}
			}
			w.own = append(w.own, o)
		}
	}
	e := newElement(NewPack(cell, 1))
	at := append([]float64(nil), xi...)
	for k, i := range free {
		if done[i] {
			continue
		}
		at[i] = xi[i] + tangentStep
		moved, err := t.cell(at)
		if err != nil {
			return nil, err
		}
		at[i] = xi[i]
		b := newElement(NewPack(moved, 1))
		o := *tangentOf(&e, &b, false, false).own
		o.capacity = float64(moved.Capacity-cell.Capacity) / tangentStep
		parts = append(parts, part{len(w.own), k, 1})
		w.own = append(w.own, o)
	}
	w.sums = mat.NewDense(len(w.own), len(free), nil)
	for _, p := range parts {
		w.sums.Set(p.way, p.free, p.of)
	}
	return w, nil
}

// knot is what one knot of a process changes: of a resistance its logarithm there, of the open-circuit voltage by its spread, of
// the entropic coefficient by 1 V/K.
func (t *typical) knot(cell *Cell, xi []float64, kind, knot int) (own, error) {
	var o own
	weighted := func(p Profile, ws []weight) Profile {
		out := make(Profile, len(ws))
		for i, w := range ws {
			of := 1.0
			if p != nil {
				of = p[i]
			}
			switch knot {
			case w.i:
				out[i] = of * (1 - w.f)
			case w.i + 1:
				out[i] = of * w.f
			}
		}
		return out
	}
	switch kind {
	case 0:
		d := t.knots(xi)
		d[knot] += tangentStep * t.spread[knot]
		moved, err := t.through(d)
		if err != nil {
			return o, err
		}
		if changed(cell.Curve, moved) {
			o.moved = moved
		}
	case 1:
		o.ohmic = weighted(cell.Ohmic, shape.profileWeights)
	case 2:
		o.fast = weighted(cell.Branches[0].Resistance, shape.profileWeights)
	case 3:
		o.slow = weighted(cell.Branches[1].Resistance, shape.profileWeights)
	case 4:
		o.entropic = weighted(nil, shape.heatWeights)
	}
	return o, nil
}

// tangents are the ways as changes of an element. started tells how the charge at the beginning goes with the curve and with the
// capacity, the first by the changed curve.
func (w *ways) tangents(e *element, thermal, felt bool, started func(o *own) float64) []tangent {
	ts := make([]tangent, len(w.own))
	for k := range ts {
		o := w.own[k]
		o.start = started(&o)
		ts[k] = o.of(e.cell.Curve, thermal, felt)
	}
	return ts
}
