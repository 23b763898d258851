package drive

import "math"

// crossing finds where f, which falls or stays as x rises, goes through zero
// between low and high, with f(low) > 0 ≥ f(high): R. P. Brent's method
// (Algorithms for Minimization without Derivatives, 1973, chapter 4), carried to
// the last digits so that differences of two results are differences of their
// inputs.
func crossing(f func(float64) float64, low, high, fLow, fHigh float64) float64 {
	a, b, fa, fb := low, high, fLow, fHigh
	c, fc := a, fa
	step := b - a
	last := step
	for range 200 {
		if (fb > 0) == (fc > 0) {
			c, fc = a, fa
			step = b - a
			last = step
		}
		if math.Abs(fc) < math.Abs(fb) {
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		tolerance := 4e-16 * math.Abs(b)
		half := (c - b) / 2
		if math.Abs(half) <= tolerance || fb == 0 {
			return b
		}
		if math.Abs(last) >= tolerance && math.Abs(fa) > math.Abs(fb) {
			var p, q float64
			s := fb / fa
			if a == c { // secant
				p, q = 2*half*s, 1-s
			} else { // inverse quadratic
				q = fa / fc
				r := fb / fc
				p = s * (2*half*q*(q-r) - (b-a)*(r-1))
				q = (q - 1) * (r - 1) * (s - 1)
			}
			if p > 0 {
				q = -q
			}
			p = math.Abs(p)
			if 2*p < math.Min(3*half*q-math.Abs(tolerance*q), math.Abs(last*q)) {
				last, step = step, p/q
			} else {
				step, last = half, half
			}
		} else {
			step, last = half, half
		}
		a, fa = b, fb
		if math.Abs(step) > tolerance {
			b += step
		} else {
			b += math.Copysign(tolerance, half)
		}
		fb = f(b)
	}
	return b
}
