package quantity

import "math"

// CoverageFactor is k, the factor from a standard to an expanded uncertainty
// (JCGM 100:2008, 6.2). Wherever this package reads or prints ±, k is 2,
// which for a normal distribution covers about 95 %.
const CoverageFactor = 2

// Measured is a value of one kind together with its standard uncertainty. The zero Measured is no value: what nobody filled in is not
// known to be zero. Of, Exact, Unsure and Missing make one; a literal outside this package fails a test.
type Measured[K Kind] struct {
	Value K // NaN or 0: there may be none, ask Known
	U     K // standard uncertainty (k = 1) in the same unit; 0 exact, NaN unknown

	Present bool // false in the zero Measured; true does not make Value a finite number
}

// Of is a value with its standard uncertainty (k = 1); a value that is no finite number is none.
func Of[K Kind](v, u K) Measured[K] { return Measured[K]{Value: v, U: u, Present: true} }

// Exact is a value taken as stated, without uncertainty.
func Exact[K Kind](v K) Measured[K] { return Of(v, 0) }

// Unsure is a value whose uncertainty nobody knows.
func Unsure[K Kind](v K) Measured[K] { return Of(v, K(math.NaN())) }

// Missing is the absence of a value, whose Value is NaN: a sum that takes it all the same has none either.
func Missing[K Kind]() Measured[K] {
	return Measured[K]{Value: K(math.NaN()), U: K(math.NaN())}
}

// Known says whether there is a value, that is, a finite number that was stated.
func (m Measured[K]) Known() bool { return m.Present && finite(float64(m.Value)) }

// number is the value, and NaN where there is none.
func (m Measured[K]) number() K {
	if !m.Present {
		return K(math.NaN())
	}
	return m.Value
}

// OrZero is the value, and zero where there is none: for what is left out of a sum or counts as not stated by zero.
func (m Measured[K]) OrZero() K {
	if !m.Known() {
		return 0
	}
	return m.Value
}

// Expanded is the expanded uncertainty, CoverageFactor times U.
func (m Measured[K]) Expanded() K { return CoverageFactor * m.U }

// Quantity is the value for printing, in a unit chosen by its size.
func (m Measured[K]) Quantity() Quantity {
	return Quantity{
		Dimension: m.Value.Dimension(),
		Value:     float64(m.number()),
		U:         float64(m.U),
		Decimals:  -1,
	}
}

// String prints the value rounded from its uncertainty, as Quantity.Rounded.
func (m Measured[K]) String() string { return m.Quantity().Rounded() }

// Sum adds values whose errors are independent; u is the root of the sum of
// squares (JCGM 100:2008, equation 10). Without one of its terms there is no sum; a sum of none is exactly zero.
func Sum[K Kind](terms ...Measured[K]) Measured[K] {
	total := Exact(K(0))
	for _, t := range terms {
		total.Value += t.number()
		total.U = K(math.Hypot(float64(total.U), float64(t.U)))
	}
	return total
}

// Difference is a − b for independent errors.
func Difference[K Kind](a, b Measured[K]) Measured[K] {
	return Of(a.number()-b.number(), K(math.Hypot(float64(a.U), float64(b.U))))
}

// Scale multiplies by a factor that has no uncertainty of its own.
func Scale[K Kind](m Measured[K], factor float64) Measured[K] {
	return Of(K(factor)*m.number(), K(math.Abs(factor))*m.U)
}

// Product applies a relation that is proportional to each of its arguments,
// such as PowerFrom, to values with independent errors:
//
//	Product(volts, amperes, quantity.PowerFrom)
//
// For y = c·a·b the first-order uncertainty is the closed form
// u² = (c·b·u(a))² + (c·a·u(b))² (JCGM 100:2008, 5.1.2).
func Product[R, A, B Kind](a Measured[A], b Measured[B], relation func(A, B) R) Measured[R] {
	x, y := a.number(), b.number()
	return Of(relation(x, y), R(math.Hypot(float64(relation(a.U, y)), float64(relation(x, b.U)))))
}

// Quotient applies a relation y = c·a/b, such as ResistanceFrom, to values
// with independent errors: u² = (c·u(a)/b)² + (y·u(b)/b)². A divisor of zero
// gives no value.
func Quotient[R, A, B Kind](a Measured[A], b Measured[B], relation func(A, B) R) Measured[R] {
	if b.Value == 0 {
		return Missing[R]()
	}
	y := relation(a.number(), b.number())
	return Of(y, R(math.Hypot(float64(relation(a.U, b.Value)), float64(y)*float64(b.U)/float64(b.Value))))
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
