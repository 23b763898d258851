package runlog

import "math"

// ramps is some intervals in succession over each of which the current goes in a straight line: no edge and no gap is among them, each
// takes some time, each row has a voltage and a time of its own, and there is an interval before the first.
type ramps struct {
	t, v, i []float64 // of the rows at their ends, one more than the intervals
	d       []float64 // s, of the intervals
	line    []int
	offset  []int64
	before  instant // the row before the first
	amps    bounds
	volts   bounds
	longest float64 // interval
	least   float64 // interval
	written uint8   // decimals of the voltage at the most
	summed  bool
	sums    flowSums
	one     passage
	earlier instant
}

// at is a row.
func (r *ramps) at(k int) instant {
	return instant{t: r.t[k], v: r.v[k], i: r.i[k], line: r.line[k], offset: r.offset[k], stepAt: math.NaN()}
}

// flowSums are what flows over intervals in all of which current and voltage are above nothing, or not below it: A s and W s, and the sums
// of the squares of half of what current and power move by times the time.
type flowSums struct {
	whole                        bool // so it is; else the rest is not known
	charge, energy               total
	chargeSquares, energySquares float64
}

// flow sums up what flows, once.
func (r *ramps) flow() *flowSums {
	if r.summed {
		return &r.sums
	}
	r.summed, r.sums = true, flowSums{whole: r.amps.low >= 0 && r.volts.low >= 0 && len(r.d) > 0}
	if !r.sums.whole {
		return &r.sums
	}
	var charge, energy, chargeSquares, energySquares total
	for from := 0; from < len(r.d); from += summedRows {
		d := r.d[from:min(from+summedRows, len(r.d))]
		i, v := r.i[from:from+len(d)+1], r.v[from:from+len(d)+1]
		var steps, jumps float64
		a, p := i[0], i[0]*v[0]
		for k, d := range d {
			b, half := i[k+1], d/2
			q := b * v[k+1]
			step, jump := (b-a)*half, (q-p)*half
			charge.add((a + b) * half)
			energy.add((p + q) * half)
			steps += step * step
			jumps += jump * jump
			a, p = b, q
		}
		chargeSquares.add(steps)
		energySquares.add(jumps)
	}
	r.sums.charge, r.sums.energy = charge, energy
	r.sums.chargeSquares, r.sums.energySquares = chargeSquares.value(), energySquares.value()
	return &r.sums
}

// summedRows is how many are summed up plainly before the sum goes to a total, so that little is lost.
const summedRows = 64

// passage is an interval, until the next call.
func (r *ramps) passage(k int) *passage {
	r.earlier = r.before
	if k > 0 {
		r.earlier = r.at(k - 1)
	}
	r.one = passage{before: &r.earlier, a: r.at(k), b: r.at(k + 1), at: 0.5}
	return &r.one
}

// bound finds the bounds.
func (r *ramps) bound() {
	r.amps, r.volts = boundsOf(r.i), boundsOf(r.v)
	r.least, r.longest = math.Inf(1), 0
	for _, d := range r.d {
		if d < r.least {
			r.least = d
		}
		if d > r.longest {
			r.longest = d
		}
	}
}
