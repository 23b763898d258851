package battery

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"

	"voltwright/internal/quantity"
)

// Curve is the open-circuit voltage of one cell against its state of charge:
// the monotone cubic through given points that F. N. Fritsch and J. Butland
// describe in "A method for constructing local monotone piecewise cubic
// interpolants", SIAM J. Sci. Stat. Comput. 5 (1984) 300. It never rises or
// falls where the points do not.
type Curve struct {
	spline      interp.FritschButland
	soc, volts  []float64
	low, high   float64 // the range of the points
	under, over float64 // slope at either end, V per unit of charge
}

// NewCurve makes a curve from states of charge (fractions, strictly rising) and
// the voltages there (V, not falling), at least three of each. Other input is
// an error that names the point.
func NewCurve(soc, volts []float64) (*Curve, error) {
	if len(soc) != len(volts) || len(soc) < 3 {
		return nil, fmt.Errorf("an open-circuit curve needs at least three points of charge and voltage, not %d and %d", len(soc), len(volts))
	}
	for i := range soc {
		switch {
		case math.IsNaN(soc[i]+volts[i]) || math.IsInf(soc[i]+volts[i], 0):
			return nil, fmt.Errorf("point %d of the open-circuit curve is not a number", i+1)
		case i > 0 && soc[i] <= soc[i-1]:
			return nil, fmt.Errorf("point %d of the open-circuit curve: charge must rise, and %g follows %g", i+1, soc[i], soc[i-1])
		case i > 0 && volts[i] < volts[i-1]:
			return nil, fmt.Errorf("point %d of the open-circuit curve: the voltage falls from %g V to %g V as the charge rises", i+1, volts[i-1], volts[i])
		}
	}
	c := &Curve{soc: slices.Clone(soc), volts: slices.Clone(volts)}
	if err := c.spline.Fit(c.soc, c.volts); err != nil {
		return nil, err
	}
	c.low, c.high = soc[0], soc[len(soc)-1]
	c.under, c.over = endSlopes(soc, volts)
	return c, nil
}

// endSlopes are the slopes of the first and the last two points.
func endSlopes(x, y []float64) (first, last float64) {
	n := len(x)
	return (y[1] - y[0]) / (x[1] - x[0]), (y[n-1] - y[n-2]) / (x[n-1] - x[n-2])
}

// At is the open-circuit voltage at a state of charge, and whether that lies
// inside the points. Outside them the line through the two end points goes on.
func (c *Curve) At(soc float64) (volts quantity.Volts, inside bool) {
	return quantity.Volts(c.at(soc)), soc >= c.low && soc <= c.high
}

func (c *Curve) at(soc float64) float64 {
	switch {
	case soc < c.low:
		return c.volts[0] + c.under*(soc-c.low)
	case soc > c.high:
		return c.volts[len(c.volts)-1] + c.over*(soc-c.high)
	}
	return c.spline.Predict(soc)
}

// Slope is the rise of the open-circuit voltage per unit of charge, V.
func (c *Curve) Slope(soc float64) float64 {
	switch {
	case soc < c.low:
		return c.under
	case soc > c.high:
		return c.over
	}
	return c.spline.PredictDerivative(soc)
}

// ErrOutsideCurve is the answer to a voltage that no charge of the curve gives.
var ErrOutsideCurve = errors.New("the voltage lies outside the open-circuit curve")

// Charge is the state of charge at which a rested cell shows the voltage, by
// bisection to a part in 10¹². Where the curve is level it is the lowest such
// charge. A voltage outside the curve gives the nearer end and ErrOutsideCurve.
func (c *Curve) Charge(volts quantity.Volts) (float64, error) {
	v := float64(volts)
	if v < c.volts[0] {
		return c.low, ErrOutsideCurve
	}
	if v > c.volts[len(c.volts)-1] {
		return c.high, ErrOutsideCurve
	}
	low, high := c.low, c.high
	for high-low > 1e-12 {
		mid := (low + high) / 2
		if c.spline.Predict(mid) < v {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2, nil
}

// Points are the points of the curve: charge and volts.
func (c *Curve) Points() (soc, volts []float64) { return slices.Clone(c.soc), slices.Clone(c.volts) }
