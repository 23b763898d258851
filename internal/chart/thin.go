package chart

import (
	"math"
	"slices"
)

// preselect is how many points a bucket may send into the choice by triangles.
const preselect = 4

// Thin returns the indices, in rising order, of at most n of the points that keep the shape of the line: the first
// and the last, the lowest and the highest, and for the rest the points that the eye would miss most.
//
// x and y have the same length and are finite; x does not step back; n is at least 4. With n points or fewer there
// is nothing to leave out. The choice is by largest triangles (S. Steinarsson, Downsampling Time Series for Visual
// Representation, MSc thesis, University of Iceland, 2013); where there are more than 4n points, it is made among the
// lowest and highest of 2n equal buckets, which costs one pass over the points. Bucket i of the m points between
// the ends begins at floor(i·m/(n−2)) + 1.
func Thin(x, y []float64, n int) []int {
	n = max(n, 4)
	if len(x) <= n {
		return counting(len(x))
	}
	candidates, low, high := extremes(y, n)
	return triangles(x, y, candidates, n, low, high)
}

func counting(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// extremes returns the points among which to choose, and the indices of the lowest and the highest point of all.
func extremes(y []float64, n int) (candidates []int, low, high int) {
	last := len(y) - 1
	buckets := n * preselect / 2
	if len(y) <= n*preselect {
		for i, v := range y {
			if v < y[low] {
				low = i
			}
			if v > y[high] {
				high = i
			}
		}
		return counting(len(y)), low, high
	}
	candidates = append(make([]int, 0, 2*buckets+2), 0)
	if y[last] < y[low] {
		low = last
	}
	if y[last] > y[high] {
		high = last
	}
	for b := range buckets {
		from, to := 1+b*(last-1)/buckets, 1+(b+1)*(last-1)/buckets
		lo, hi := from, from
		vlo, vhi := y[from], y[from]
		for i, v := range y[from:to] {
			if v < vlo {
				lo, vlo = from+i, v
			} else if v > vhi {
				hi, vhi = from+i, v
			}
		}
		if vlo < y[low] {
			low = lo
		}
		if vhi > y[high] {
			high = hi
		}
		candidates = append(candidates, min(lo, hi))
		if lo != hi {
			candidates = append(candidates, max(lo, hi))
		}
	}
	return append(candidates, last), low, high
}

// triangles picks n of the candidates. The bucket that holds the lowest or highest point gives that one; if one bucket
// holds both, its neighbour stands back.
func triangles(x, y []float64, candidates []int, n, low, high int) []int {
	count, buckets := len(candidates), n-2
	edge := func(i int) int { return i*(count-2)/buckets + 1 }
	home := func(index int) int { // the bucket that holds a point, −1 for the ends
		at, _ := slices.BinarySearch(candidates, index)
		if at == 0 || at == count-1 {
			return -1
		}
		b := (at - 1) * buckets / (count - 2)
		for edge(b+1) <= at {
			b++
		}
		return b
	}
	forced := map[int]int{}
	for _, index := range []int{low, high} {
		b := home(index)
		if b < 0 || y[index] == y[candidates[0]] || y[index] == y[candidates[count-1]] {
			continue
		}
		if _, both := forced[b]; both {
			if b++; b == buckets {
				b -= 2
			}
		}
		forced[b] = index
	}

	chosen := append(make([]int, 0, n), candidates[0])
	for b := range buckets {
		if index, ok := forced[b]; ok {
			chosen = append(chosen, index)
			continue
		}
		from, to := edge(b), edge(b+1)
		after := min(edge(b+2), count)
		if b == buckets-1 {
			after = count
		}
		var mx, my float64
		for _, c := range candidates[to:after] {
			mx += x[c]
			my += y[c]
		}
		size := float64(after - to)
		mx, my = mx/size, my/size
		before := chosen[len(chosen)-1]
		best, most := candidates[from], math.Inf(-1)
		for _, c := range candidates[from:to] {
			// Each product is rounded by itself, so that all processors choose alike.
			twice := math.Abs(float64((x[before]-mx)*(y[c]-y[before])) - float64((x[before]-x[c])*(my-y[before])))
			if twice > most {
				best, most = c, twice
			}
		}
		chosen = append(chosen, best)
	}
	chosen = append(chosen, candidates[count-1])
	slices.Sort(chosen)
	return slices.Compact(chosen)
}

// thinned returns the series with about n points, each unbroken stretch thinned by itself. Where there are more
// stretches than n/4, the longest interruptions stay and the others are closed.
func (s Series) thinned(n int) Series {
	if len(s.X) <= n {
		return s
	}
	breaks := s.Breaks
	if limit := n / 4; len(breaks) > limit {
		breaks = slices.Clone(breaks)
		slices.SortFunc(breaks, func(a, b int) int {
			wa, wb := s.X[a]-s.X[a-1], s.X[b]-s.X[b-1]
			switch {
			case wa > wb:
				return -1
			case wa < wb:
				return 1
			}
			return a - b
		})
		breaks = breaks[:limit]
		slices.Sort(breaks)
	}
	t := s
	t.X, t.Y, t.Breaks = nil, nil, nil
	from := 0
	for i := 0; i <= len(breaks); i++ {
		to := len(s.X)
		if i < len(breaks) {
			to = breaks[i]
		}
		if i > 0 {
			t.Breaks = append(t.Breaks, len(t.X))
		}
		for _, k := range Thin(s.X[from:to], s.Y[from:to], max(4, n*(to-from)/len(s.X))) {
			t.X = append(t.X, s.X[from+k])
			t.Y = append(t.Y, s.Y[from+k])
		}
		from = to
	}
	return t
}
