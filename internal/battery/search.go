package battery

import (
	"math"
	"slices"
)

// candidate is where a search has come to.
type candidate struct {
	xi    []float64
	value float64 // half the sum of squares
	at    *system // there
}

// search is a search for the values that fit best, from the capacity as it is and, where another promises better, the fit stays poor
// or the label would be a false one, from that as well.
type search struct {
	*fit
	free          []int
	first, second *candidate // second: nil where it is the same
	better        bool       // the second promises better
}

// begin finds where the search begins.
func (f *fit) begin(free []int, from []float64) (*search, error) {
	first, second, err := f.starts(free, slices.Clone(from))
	if err != nil {
		return nil, err
	}
	s := &search{fit: f, free: free, first: &candidate{xi: first}}
	if second == nil {
		return s, nil
	}
	s.second = &candidate{xi: second}
	for _, c := range []*candidate{s.first, s.second} {
		if c.at, err = f.systemAt(electric, free, c.xi); err != nil {
			return nil, err
		}
	}
	s.better = s.second.at.promise() < s.first.at.promise()
	return s, nil
}

// best goes on until nothing is better, and says what is best.
func (s *search) best() (c *candidate, steps int, err error) {
	if steps, err = s.descend(electric, s.free, s.first); err != nil {
		return nil, steps, err
	}
	if s.second == nil || !s.better && s.misfit(s.first.xi) <= enoughDoubt && math.Abs(s.second.xi[places.capacity]) <= labelHolds {
		return s.first, steps, nil
	}
	more, err := s.descend(electric, s.free, s.second)
	if err == nil && s.second.value < s.first.value-s.decisive() {
		return s.second, steps + more, nil
	}
	return s.first, steps + more, err
}

// starts are where the search for the values begins: with the capacity as it is,
// or raised where a log took out more, since an empty cell's voltage falls so fast
// that the fit would not find its way; and with the one by which the longest log
// from full would have ended nearly empty or somewhat before, whichever comes
// nearest to the voltages by itself, since the curve and the resistance can put the knee of a
// discharge at more than one charge. second is nil where that is the same.
func (f *fit) starts(free []int, xi []float64) (first, second []float64, err error) {
	first = slices.Clone(xi)
	cell, out, err := f.drawn(first)
	for n := 0; n < 3 && err == nil && out > 0.99*float64(cell.Capacity); n++ {
		first[places.capacity] = f.typical.unknownOf(out / 0.98)
		cell, out, err = f.drawn(first)
	}
	if err != nil || out == 0 {
		return first, nil, err
	}
	nearest, err := f.value(electric, free, first)
	if err != nil {
		return nil, nil, err
	}
	least := math.Inf(1)
	for _, left := range endsLeft {
		q := out / (1 - left)
		if math.Abs(math.Log(q/float64(cell.Capacity))) < sameStart {
			continue
		}
		at := slices.Clone(first)
		at[places.capacity] = f.typical.unknownOf(q)
		sum, err := f.value(electric, free, at)
		if err != nil {
			return nil, nil, err
		}
		// More than is stated must come nearer by itself; of less, where the curve ends is seen.
		if sum < least && (sum < nearest || q < float64(cell.Capacity)) {
			least, second = sum, at
		}
	}
	return first, second, nil
}

// What may be left in a cell at the end of a log, for the capacities that the search starts with beside the stated one;
// how near to another a start is the same; and by how much half the sum of squares must be less where no log ran the cell
// down to its floor, since such logs tell little of the capacity: odds of e⁵. Our own choice; no source.
var endsLeft = []float64{0.02, 0.1, 0.2, 0.35, 0.5, 0.65}

const (
	sameStart = 0.1
	betterBy  = 5
)

// drawn is the cell of the unknowns, and the most charge that a log from full has
// taken out of it, Ah, as the cell counts it; 0: no log began full.
func (f *fit) drawn(xi []float64) (*Cell, float64, error) {
	cell, err := f.typical.cell(xi)
	if err != nil {
		return nil, 0, err
	}
	most := 0.0
	for _, p := range f.logs {
		if !math.IsNaN(p.drawn) {
			p.follow(cell, false, make([]float64, len(p.marks)), nil)
			most = max(most, (1-p.lowest)*float64(cell.Capacity))
		}
	}
	return cell, most, nil
}
