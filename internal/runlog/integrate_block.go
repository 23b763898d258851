package runlog

import "math"

// pacedRows is the last three rows of a walker, and a block of rows behind them.
type pacedRows struct {
	t, v, i [blockRows + 3]float64
	d       [blockRows + 3]float64 // from the row before
	line    [blockRows + 3]int
	offset  [blockRows + 3]int64
	one     ramps
}

func (x *pacedRows) put(k int, a *instant) {
	x.t[k], x.v[k], x.i[k], x.line[k], x.offset[k] = a.t, a.v, a.i, a.line, a.offset
}

func (x *pacedRows) at(k int) instant {
	return instant{t: x.t[k], v: x.v[k], i: x.i[k], line: x.line[k], offset: x.offset[k], stepAt: math.NaN()}
}

// follow takes plain rows. It gives the ramps among them together, and every other interval by itself.
func (w *walker) follow(r *rows) {
	from := r.from
	plain := func(a *instant) bool { return a.u == 0 && !a.restart && a.v == a.v }
	for ; from < r.to && !(w.begun && w.count >= 3 && plain(&w.held[0]) && plain(&w.held[1]) && plain(&w.held[2])); from++ {
		w.add(instant{t: r.time[from], v: r.at(Voltage, from), i: r.at(Current, from), line: r.line[from], offset: r.offset[from], stepAt: math.NaN()})
	}
	n := r.to - from
	if n == 0 {
		return
	}
	x := &w.block
	for k := range w.held {
		x.put(k, &w.held[k])
	}
	copy(x.t[3:], r.time[from:r.to])
	copy(x.v[3:], r.values[Voltage][from:r.to])
	copy(x.i[3:], r.values[Current][from:r.to])
	copy(x.line[3:], r.line[from:r.to])
	copy(x.offset[3:], r.offset[from:r.to])
	limit := w.gapLimit
	if math.IsNaN(limit) {
		limit = gapFloor
	}
	last := n + 1 // the row before the newest: its interval is the last that can be told
	x.d[1] = w.last
	begun, peak := 2, w.peak
	for k := 2; k <= last; k++ {
		if next := math.Abs(x.i[k+1]); next > peak {
			peak = next
		}
		d := x.t[k] - x.t[k-1]
		x.d[k] = d
		step := math.Abs(x.i[k] - x.i[k-1])
		if d > 0 && d <= limit && (step < edgeFraction*peak || step == 0) {
			continue
		}
		w.peak = peak
		if d > 0 && d <= limit && (math.Abs(x.i[k-1]-x.i[k-2]) > edgeFlatness*step || math.Abs(x.i[k+1]-x.i[k]) > edgeFlatness*step) {
			continue // no edge, by isEdge
		}
		w.give(begun, k, r.decimals(Voltage))
		w.held[0], w.held[1], w.held[2] = x.at(k-2), x.at(k-1), x.at(k)
		after := x.at(k + 1)
		w.pass(&after)
		begun = k + 1
	}
	w.peak = peak
	w.give(begun, last+1, r.decimals(Voltage))
	w.held[0], w.held[1], w.held[2] = x.at(n), x.at(n+1), x.at(n+2)
	w.count += n
}

// give gives the intervals that end at the rows from begun up to end.
func (w *walker) give(begun, end int, written uint8) {
	if begun >= end {
		return
	}
	x, r := &w.block, &w.block.one
	*r = ramps{t: x.t[begun-1 : end], v: x.v[begun-1 : end], i: x.i[begun-1 : end], d: x.d[begun:end],
		line: x.line[begun-1 : end], offset: x.offset[begun-1 : end], before: x.at(begun - 2), written: written}
	r.bound()
	w.ramps(r)
	w.intervals.addEach(r.d, r.least, r.longest)
	w.seen += len(r.d)
	for k := max(begun-1, end-1-rhythmWindow); k < end-1; k++ {
		if d := x.d[k]; d > 0 {
			w.keepRhythm(d)
		}
	}
	w.last = x.d[end-1]
}
