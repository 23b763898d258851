package battery

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"voltwright/internal/quantity"
)

// Peukert is the law of W. Peukert (1897) with the rating made plain: a battery
// that gives its rated capacity in Rated time gives at the current I
//
//	t = H·(C/(I·H))^k.
//
// It holds for lead-acid, for a constant current between about the rated current
// and the one-hour current, at one temperature, from a full charge; the exponent
// itself rises with the current (a 40 Ah VRLA data sheet gives 1.12 between 20 h
// and 10 h, 1.21 between 20 h and 1 h). Below the rated current the law promises
// capacity that is not there; RunTime then gives the rated capacity.
//
// Source: fxsolver.com, Peukert's law; form and exponents are given in the
// Xantrex Link 2000 manual, pages 26 and 27.
type Peukert struct {
	Exponent float64
	Capacity quantity.AmpereHours // at the rated time
	Rated    quantity.Seconds     // 20 h is usual
}

// RunTime is how long the battery carries a constant current.
func (p Peukert) RunTime(i quantity.Amperes) quantity.Seconds {
	h := float64(p.Rated)
	ratedAmps := float64(p.Capacity) / (h / 3600)
	k := p.Exponent
	if float64(i) < ratedAmps {
		k = 1
	}
	return quantity.Seconds(h * math.Pow(ratedAmps/float64(i), k))
}

// Delivered is the charge that a constant current takes out.
func (p Peukert) Delivered(i quantity.Amperes) quantity.AmpereHours {
	return quantity.AmpereHours(float64(i) * float64(p.RunTime(i)) / 3600)
}

// PeukertPlain is the plain form t = C/I^k in hours, in which C is the Peukert
// capacity at one ampere and not the rated one; with a rated capacity in its
// place it gives another answer, which is a common slip (reference values,
// section 18). It is here so that figures in that form can be checked.
func PeukertPlain(atOneAmpere quantity.AmpereHours, i quantity.Amperes, k float64) quantity.Seconds {
	return quantity.Seconds(3600 * float64(atOneAmpere) / math.Pow(float64(i), k))
}

// PeukertFromTwo is the exponent from two ratings, k = ln(t₂/t₁)/ln(I₁/I₂)
// (Xantrex Link 2000 manual, page 27). An exponent below 1 is refused with
// ExponentError.
func PeukertFromTwo(t1 quantity.Seconds, i1 quantity.Amperes, t2 quantity.Seconds, i2 quantity.Amperes) (float64, error) {
	if !(t1 > 0 && t2 > 0 && i1 > 0 && i2 > 0) || i1 == i2 {
		return math.NaN(), errors.New("an exponent needs two ratings with unlike currents, all above zero")
	}
	k := math.Log(float64(t2/t1)) / math.Log(float64(i1/i2))
	if k < 1 {
		return math.NaN(), &ExponentError{Exponent: k}
	}
	return k, nil
}

// ExponentError refuses an exponent below 1.
type ExponentError struct {
	Exponent float64
	U        float64 // its standard uncertainty; 0: from two points only
	Faded    bool    // the later run gave less, whatever its current
	First    quantity.AmpereHours
	Last     quantity.AmpereHours
}

func (e *ExponentError) Error() string {
	s := fmt.Sprintf("the runs give a Peukert exponent of %.3f: below 1 a battery would give more the harder it is drawn, which none does", e.Exponent)
	if e.Exponent >= 1 {
		s = fmt.Sprintf("the runs give a Peukert exponent of %.3f with a standard uncertainty of %.3f, which cannot be told from 1", e.Exponent, e.U)
	}
	if e.Faded {
		s += fmt.Sprintf("; the capacity fell from run to run, %.4g Ah to %.4g Ah in the order they were made, so the runs show a battery that fades or was not fully charged, not the effect of the current", float64(e.First), float64(e.Last))
	}
	return s
}

// FitPeukert fits ln t = a − k·ln I to runs in the order they were made, by
// least squares, at least three with unlike currents. It gives the exponent and
// its standard uncertainty. An exponent below 1 is refused with ExponentError,
// and so is one that cannot be told from 1 where the capacity falls from run to run.
func FitPeukert(i []quantity.Amperes, t []quantity.Seconds) (quantity.Measured[quantity.Number], error) {
	none := quantity.Missing[quantity.Number]()
	if len(i) != len(t) || len(i) < 3 {
		return none, errors.New("a Peukert exponent needs at least three runs")
	}
	var x, y []float64
	for n := range i {
		if !(i[n] > 0 && t[n] > 0) {
			return none, fmt.Errorf("run %d has no current or no time", n+1)
		}
		x, y = append(x, math.Log(float64(i[n]))), append(y, math.Log(float64(t[n])))
	}
	spread := stat.Variance(x, nil)
	if !(spread > 1e-6) {
		return none, errors.New("all runs have one current: an exponent needs unlike ones")
	}
	a, slope := stat.LinearRegression(x, y, nil, false)
	var rest float64
	for n := range x {
		d := y[n] - a - slope*x[n]
		rest += d * d
	}
	n := float64(len(x))
	u := math.Sqrt(rest / (n - 2) / (spread * (n - 1)))
	faded := fades(i, t)
	if -slope < 1 || faded && -slope-1 < quantity.CoverageFactor*u {
		first, last := capacityOf(i[0], t[0]), capacityOf(i[len(i)-1], t[len(t)-1])
		return none, &ExponentError{Exponent: -slope, U: u, Faded: faded, First: first, Last: last}
	}
	return quantity.Of(quantity.Number(-slope), quantity.Number(u)), nil
}

func capacityOf(i quantity.Amperes, t quantity.Seconds) quantity.AmpereHours {
	return quantity.AmpereHours(float64(i) * float64(t) / 3600)
}

// fades tells whether capacity goes down with the order of the runs: a rank
// correlation (Kendall's τ) of −0.5 or less.
func fades(i []quantity.Amperes, t []quantity.Seconds) bool {
	var order, q []float64
	for n := range i {
		order, q = append(order, float64(n)), append(q, float64(capacityOf(i[n], t[n])))
	}
	return stat.Kendall(order, q, nil) <= -0.5
}
