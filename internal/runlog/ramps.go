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
	one     passage
	earlier instant
}

// at is a row.
func (r *ramps) at(k int) instant {
	return instant{t: r.t[k], v: r.v[k], i: r.i[k], line: r.line[k], offset: r.offset[k], stepAt: math.NaN()}
}

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
