package quantity

import (
	"math"
	"strconv"
)

// Brief is a value in words, in four significant digits and without an
// uncertainty: a setting, a load, a floor.
func Brief[K Kind](k K) string { return inDigits(k, 4) }

// Rough is a value in words in two significant digits: what was guessed or is
// typical.
func Rough[K Kind](k K) string { return inDigits(k, 2) }

func inDigits[K Kind](k K, digits int) string {
	return Quantity{Dimension: k.Dimension(), Value: significant(float64(k), digits), Decimals: -1}.String()
}

// Figures is a plain number in so many significant digits and never in powers of
// ten: 1000 in three is "1000", where a general format gives "1e+03".
func Figures(x float64, digits int) string {
	return strconv.FormatFloat(significant(x, digits), 'f', -1, 64)
}

// significant rounds to so many significant digits.
func significant(x float64, digits int) float64 {
	if x == 0 || !finite(x) {
		return x
	}
	scale := math.Pow(10, float64(digits-1)-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale) / scale
}
