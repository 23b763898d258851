package runlog

import (
	"cmp"
	"math"
	"slices"

	"voltwright/internal/compare"
)

// total adds many numbers with one rounding's worth of error (Neumaier 1974). The zero total is 0.
type total struct{ sum, lost float64 }

func (s *total) add(x float64) {
	t := s.sum + x
	if math.Abs(s.sum) >= math.Abs(x) {
		s.lost += (s.sum - t) + x
	} else {
		s.lost += (x - t) + s.sum
	}
	s.sum = t
}

func (s *total) value() float64 { return s.sum + s.lost }

// sumOfEach sums up four by four.
func sumOfEach(values []float64) float64 {
	var a, b, c, d float64
	for ; len(values) >= 4; values = values[4:] {
		a += values[0]
		b += values[1]
		c += values[2]
		d += values[3]
	}
	for _, x := range values {
		a += x
	}
	return (a + b) + (c + d)
}

// sumOf is the total of two.
func sumOf(a, b *total) *total {
	sum := *a
	sum.add(b.sum)
	sum.lost += b.lost
	return &sum
}

// moments gathers the mean and the sample standard deviation of a stream of numbers, as differences from the first one
// (Welford 1962), so that digits which all values share are not lost. Checked with the univariate sets of NIST StRD.
type moments struct {
	n        int
	first    float64
	mean, m2 float64 // of value − first
}

func (m *moments) add(x float64) {
	if m.n == 0 {
		m.first = x
	}
	m.n++
	d := (x - m.first) - m.mean
	m.mean += d / float64(m.n)
	m.m2 += d * ((x - m.first) - m.mean)
}

// average is NaN for no values.
func (m *moments) average() float64 {
	if m.n == 0 {
		return math.NaN()
	}
	return m.first + m.mean
}

// sd is the sample standard deviation (n − 1); NaN for fewer than two values.
func (m *moments) sd() float64 {
	if m.n < 2 {
		return math.NaN()
	}
	return math.Sqrt(m.m2 / float64(m.n-1))
}

// median of a copy; NaN for no values.
func median(values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	v := slices.Clone(values)
	slices.Sort(v)
	if h := len(v) / 2; len(v)%2 == 0 {
		return v[h-1]/2 + v[h]/2
	} else {
		return v[h]
	}
}

// studentHalfWidth is half the two-sided confidence interval of a mean: t(p, n − 1)·s/√n. NaN for n < 2.
func studentHalfWidth(sd float64, n int, confidence float64) float64 {
	if n < 2 {
		return math.NaN()
	}
	return compare.Student(confidence, float64(n-1)) * sd / math.Sqrt(float64(n))
}

// quantiles answers how large a magnitude is that a stated part of the weight exceeds. It is exact while it has seen at
// most exactQuantiles values; after that magnitudes are kept in bins whose edges grow by the factor quantileGrowth, so the
// answer is within ±0.5 % of a magnitude that was seen, in bounded memory. Below quantileFloor everything is one bin.
type quantiles struct {
	small  []weighted
	bins   []float64 // nil while exact
	weight float64
	peak   float64
}

type weighted struct{ value, weight float64 }

const (
	exactQuantiles = 4096
	quantileFloor  = 1e-4
	quantileGrowth = 1.01
	quantileBins   = 3000 // reaches quantileFloor·1.01^3000, about 9e8
)

func (q *quantiles) add(value, weight float64) {
	value = math.Abs(value)
	if !(weight > 0) || math.IsNaN(value) {
		return
	}
	q.weight += weight
	q.peak = max(q.peak, value)
	if q.bins == nil {
		if len(q.small) < exactQuantiles {
			q.small = append(q.small, weighted{value, weight})
			return
		}
		q.bins = make([]float64, quantileBins)
		for _, w := range q.small {
			q.bins[quantileBin(w.value)] += w.weight
		}
		q.small = nil
	}
	q.bins[quantileBin(value)] += weight
}

// addEach adds values of weight one, the least and the greatest of which are given.
func (q *quantiles) addEach(values []float64, least, greatest float64) {
	if b := quantileBin(greatest); q.bins != nil && least > 0 && quantileBin(least) == b {
		n := float64(len(values))
		q.bins[b] += n
		q.weight += n
		q.peak = max(q.peak, greatest)
		return
	}
	for _, x := range values {
		q.add(x, 1)
	}
}

// exceededBy gives the smallest magnitude that less than or just the given weight exceeds: with the weights sorted by
// falling magnitude, the one at which the running sum first goes beyond it. NaN for an empty stream.
func (q *quantiles) exceededBy(weight float64) float64 {
	if q.weight == 0 {
		return math.NaN()
	}
	var sum float64
	if q.bins == nil {
		slices.SortFunc(q.small, func(a, b weighted) int { return cmp.Compare(b.value, a.value) })
		for _, w := range q.small {
			if sum += w.weight; sum > weight {
				return w.value
			}
		}
		return q.small[len(q.small)-1].value
	}
	for b := quantileBins - 1; b > 0; b-- {
		if sum += q.bins[b]; sum > weight {
			mid := quantileFloor * math.Pow(quantileGrowth, float64(b)-0.5)
			return min(mid, q.peak)
		}
	}
	return 0
}
