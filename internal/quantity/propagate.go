package quantity

import (
	"fmt"
	"math"
)

// Sensitivities gives, for each input, the change in f per unit of that input
// at x, by central differences over a hundredth of its standard uncertainty.
// An input without uncertainty is not varied and its entry is 0.
//
// x and u must be of one length. f must be defined and smooth over x ± u, and
// must not keep or change the slice it is given.
func Sensitivities(f func([]float64) float64, x, u []float64) []float64 {
	if len(x) != len(u) {
		panic(fmt.Sprintf("quantity: %d values with %d uncertainties", len(x), len(u)))
	}
	c := make([]float64, len(x))
	at := append([]float64(nil), x...)
	for i, xi := range x {
		if u[i] == 0 {
			continue
		}
		h := math.Max(math.Abs(u[i])/100, math.Abs(xi)*1e-8)
		up, down := xi+h, xi-h
		at[i] = up
		high := f(at)
		at[i] = down
		low := f(at)
		at[i] = xi
		c[i] = (high - low) / (up - down)
	}
	return c
}

// Propagate evaluates f at x and carries the standard uncertainties u of the
// inputs to that of the result, to first order:
//
//	u²(y) = Σᵢ Σⱼ cᵢ cⱼ u(xᵢ) u(xⱼ) r(xᵢ, xⱼ)
//
// with cᵢ from Sensitivities (JCGM 100:2008, 5.2.2, equation 16). corr is the
// symmetric matrix of correlation coefficients, len(x) by len(x) with a
// diagonal of 1; nil means that the inputs are independent, which leaves
// equation 10. An unknown (NaN) uncertainty gives an unknown result.
//
// A corr of the wrong shape is a fault in the program and panics.
func Propagate(f func([]float64) float64, x, u []float64, corr [][]float64) (y, uy float64) {
	if corr != nil {
		if len(corr) != len(x) {
			panic(fmt.Sprintf("quantity: %d rows of correlation for %d inputs", len(corr), len(x)))
		}
		for i, row := range corr {
			if len(row) != len(x) {
				panic(fmt.Sprintf("quantity: row %d of the correlation has %d entries for %d inputs", i, len(row), len(x)))
			}
		}
	}
	y = f(append([]float64(nil), x...))
	c := Sensitivities(f, x, u)
	var variance float64
	for i := range c {
		ci := c[i] * u[i]
		variance += ci * ci
		if corr == nil {
			continue
		}
		for j := range i {
			variance += 2 * ci * c[j] * u[j] * corr[i][j]
		}
	}
	// Full correlation can leave a variance of nothing, and rounding can carry
	// that below zero.
	return y, math.Sqrt(math.Max(variance, 0))
}
