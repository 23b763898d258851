package battery

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"voltwright/internal/quantity"
)

// UncertainError says that a level is reached, but that what is known leaves open
// when by so much that one time with an uncertainty would mislead.
type UncertainError struct {
	Level    string
	Volts    quantity.Volts
	From, To quantity.Seconds // about 95 % of the cases lie between
	Likely   quantity.Seconds
	Never    float64 // part of the cases in which the run ends before it is reached
	Far      bool    // most of it is how far the answer is from what taught
}

func (e *UncertainError) Error() string {
	return e.Words(soon(e.From), soon(e.To), soon(e.Likely))
}

// Words is the text of the error with other words for its times.
func (e *UncertainError) Words(from, to, likely string) string {
	if e.Far {
		return fmt.Sprintf("%s, %.4g V, is reached between %s and %s, after %s with the most likely values: too little like this was measured for one number", e.Level, float64(e.Volts), from, to, likely)
	}
	text := fmt.Sprintf("%s, %.4g V, is reached between %s and %s, after %s with the most likely values: under this load the voltage stays near it for so long that what is known of the packs does not tell it better",
		e.Level, float64(e.Volts), from, to, likely)
	if e.Never >= 0.05 {
		text += fmt.Sprintf("; in %.0f of 100 cases the run ends before", 100*e.Never)
	}
	return text
}

func soon(t quantity.Seconds) string {
	switch {
	case t < 1:
		return "at once"
	case t < 300:
		return quantity.Clock(t, 1)
	}
	return quantity.Clock(t, 60)
}

// samples is how many cells a spread is sampled with where first order will not do.
const samples = 256

// points are n points in so many dimensions, standard normal in each and always
// the same: a Latin hypercube (M. D. McKay, R. J. Beckman, W. J. Conover,
// Technometrics 21 (1979) 239; from memory). Every dimension has one point in
// each of n strata of equal chance, in an order of its own.
func points(n, dimensions int) [][]float64 {
	out := make([][]float64, n)
	for k := range out {
		out[k] = make([]float64, dimensions)
	}
	state := uint64(1)
	next := func(below int) int { // splitmix64: a fixed sequence, no chance
		state += 0x9e3779b97f4a7c15
		z := state
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		return int((z ^ z>>31) % uint64(below))
	}
	order := make([]int, n)
	for d := range dimensions {
		for k := range order {
			order[k] = k
		}
		for k := n - 1; k > 0; k-- {
			j := next(k + 1)
			order[k], order[j] = order[j], order[k]
		}
		for k, stratum := range order {
			out[k][d] = math.Sqrt2 * math.Erfinv((2*float64(stratum)+1)/float64(n)-1)
		}
	}
	return out
}

// sampled gives the answers f computes from cells that are spread as the
// estimates are, one row for each of samples (JCGM 101:2008, propagation of
// distributions, with fixed points instead of drawn ones).
func sampled(estimates []*Estimate, f func([]*Cell) ([]float64, error)) ([][]float64, error) {
	roots := make([]*mat.TriDense, len(estimates))
	for n, e := range estimates {
		var c mat.Cholesky
		cov := mat.NewSymDense(places.n, nil)
		cov.CopySym(e.cov)
		for i := range places.n {
			cov.SetSym(i, i, cov.At(i, i)*(1+1e-9)+1e-12)
		}
		if !c.Factorize(cov) {
			return nil, fmt.Errorf("battery: the covariance of %d unknowns has no root", places.n)
		}
		roots[n] = new(mat.TriDense)
		c.LTo(roots[n])
	}
	out := make([][]float64, samples)
	for k, at := range points(samples, places.n*len(estimates)) {
		cells := make([]*Cell, len(estimates))
		for n, e := range estimates {
			var d mat.VecDense
			d.MulVec(roots[n], mat.NewVecDense(places.n, at[n*places.n:(n+1)*places.n]))
			xi := slices.Clone(e.xi)
			for i := range xi {
				xi[i] += d.AtVec(i)
			}
			c, err := e.typical.cell(xi)
			if err != nil {
				return nil, err
			}
			cells[n] = c
		}
		y, err := f(cells)
		if err != nil {
			return nil, err
		}
		out[k] = y
	}
	return out, nil
}

// middle95 are the bounds of the middle 95 % of values.
func middle95(y []float64) (low, high float64) {
	slices.Sort(y)
	at := func(p float64) float64 {
		x := p * float64(len(y)-1)
		i := min(int(x), len(y)-2)
		return y[i] + (x-float64(i))*(y[i+1]-y[i])
	}
	return at(0.025), at(0.975)
}
