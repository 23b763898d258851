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
	soc, volts  []float64
	cubics      []cubic // one from each point to the next
	places      []int   // the point at or before each of equal parts of the range
	low, high   float64 // the range of the points
	under, over float64 // slope at either end, V per unit of charge
}

// NewCurve makes a curve from states of charge (fractions, strictly rising) and
// the voltages there (V, not falling), at least three of each. Other input is
// an error that names the point.
func NewCurve(soc, volts []float64) (*Curve, error) { return newCurve(soc, volts, nil) }

// newCurve is NewCurve with the places of the charges, where they are known already.
func newCurve(soc, volts []float64, places []int) (*Curve, error) {
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
	var spline interp.FritschButland
	if err := spline.Fit(c.soc, c.volts); err != nil {
		return nil, err
	}
	c.low, c.high = soc[0], soc[len(soc)-1]
	c.tabulate(&spline)
	if c.places = places; places == nil {
		c.places = placesOf(c.soc)
	}
	c.under, c.over = endSlopes(soc, volts)
	return c, nil
}

// cubic is a part of the curve: a + b·x + c·x² + d·x³, x from its first point.
type cubic struct{ a, b, c, d float64 }

// tabulate writes the spline's cubics down, which its values and slopes at the points tell, so that they are found at once.
func (c *Curve) tabulate(spline *interp.FritschButland) {
	n := len(c.soc)
	c.cubics = make([]cubic, n-1)
	first := spline.PredictDerivative(c.soc[0])
	for i := range c.cubics {
		last := spline.PredictDerivative(c.soc[i+1])
		h := c.soc[i+1] - c.soc[i]
		rise := (c.volts[i+1] - c.volts[i]) / h
		c.cubics[i] = cubic{c.volts[i], first, (3*rise - 2*first - last) / h, (first + last - 2*rise) / (h * h)}
		first = last
	}
}

// placesOf are the last of some charges at or before each of equal parts of their range.
func placesOf(soc []float64) []int {
	const parts = 128
	n := len(soc)
	out := make([]int, parts)
	at := 0
	for k := range out {
		for z := soc[0] + (soc[n-1]-soc[0])*float64(k)/parts; at < n-2 && soc[at+1] <= z; {
			at++
		}
		out[k] = at
	}
	return out
}

// part is the cubic that holds a charge inside the points, and how far the charge is in it.
func (c *Curve) part(soc float64) (*cubic, float64) {
	i := c.places[min(int((soc-c.low)/(c.high-c.low)*float64(len(c.places))), len(c.places)-1)]
	for i < len(c.cubics)-1 && soc >= c.soc[i+1] {
		i++
	}
	return &c.cubics[i], soc - c.soc[i]
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
	p, x := c.part(soc)
	return p.a + x*(p.b+x*(p.c+x*p.d))
}

// Slope is the rise of the open-circuit voltage per unit of charge, V.
func (c *Curve) Slope(soc float64) float64 {
	switch {
	case soc < c.low:
		return c.under
	case soc > c.high:
		return c.over
	}
	p, x := c.part(soc)
	return p.b + x*(2*p.c+x*3*p.d)
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
		if c.at(mid) < v {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2, nil
}

// Points are the points of the curve: charge and volts.
func (c *Curve) Points() (soc, volts []float64) { return slices.Clone(c.soc), slices.Clone(c.volts) }
