package evidence

import (
	"math"

	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

// The forms of a value that words are read against.
const (
	Number = value.FormNumber
	Change = value.FormChange
	Ratio  = value.FormRatio
	Count  = value.FormCount
	Price  = value.FormPrice
	Date   = value.FormDate
	Name   = value.FormName
)

// Subject is what words are read against.
type Subject struct {
	Form      value.Form
	Dimension quantity.Dimension // of a Number or a Change; of a Ratio, that of both its values
	Currency  string             // of a Price, ISO 4217
	Comma     bool               // the language of the words writes the decimal with a comma
}

// Claim is what words claim of a value: that it lies between two ends, in the
// base unit of the dimension. A Ratio is claimed as a plain number, a Price in
// its currency, a Date in days since 1970-01-01; the words of a Name claim that
// it is, or contains, Text.
type Claim struct {
	Low, High         float64 // −Inf, +Inf: there is no such end
	LowOpen, HighOpen bool    // the end itself is not claimed

	Spread *Spread // what ± claims of the expanded uncertainty, nil where none is written
	Yearly bool    // a day of any year; the ends are those of the year 1972
	Text   string

	worded wording // how it was said, so that it can be said of another value
}

// Spread is a claim of an expanded uncertainty, closed at both ends.
type Spread struct{ Low, High float64 }

// binary forgives the last binary digits of an end.
const binary = 1e-9

// Holds says whether a value is as the words claim. A value that is not known is not.
func (c Claim) Holds(x float64) bool {
	if math.IsNaN(x) {
		return false
	}
	if c.Yearly {
		x = yearless(x)
	}
	width := c.High - c.Low
	if math.IsInf(width, 0) {
		width = 0
	}
	slack := binary * math.Max(width, 1e-3*math.Abs(x))
	low := x >= c.Low-slack
	if c.LowOpen {
		low = x > c.Low
	}
	high := x <= c.High+slack
	if c.HighOpen {
		high = x < c.High
	}
	return low && high
}

// mirrored is the claim of a value with its sign changed, such as a loss that is written as an amount less.
func (c Claim) mirrored() Claim {
	c.Low, c.High, c.LowOpen, c.HighOpen = -c.High, -c.Low, c.HighOpen, c.LowOpen
	return c
}

// moved is the claim of a value that is larger by an amount.
func (c Claim) moved(by float64) Claim {
	c.Low, c.High = c.Low+by, c.High+by
	return c
}

// inverted is the claim of one over the value, for claims of what is positive.
func (c Claim) inverted() Claim {
	over := func(x float64) float64 {
		switch {
		case x <= 0:
			return math.Inf(1)
		case math.IsInf(x, 1):
			return 0
		}
		return 1 / x
	}
	c.Low, c.High, c.LowOpen, c.HighOpen = over(c.High), over(c.Low), c.HighOpen, c.LowOpen
	return c
}
