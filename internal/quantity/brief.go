package quantity

import "math"

// Brief is a value in words, in four significant digits and without an
// uncertainty: a setting, a load, a floor.
func Brief[K Kind](k K) string {
	x := float64(k)
	if x != 0 && finite(x) {
		scale := math.Pow(10, 3-math.Floor(math.Log10(math.Abs(x))))
		x = math.Round(x*scale) / scale
	}
	return Quantity{Dimension: k.Dimension(), Value: x, Decimals: -1}.String()
}
