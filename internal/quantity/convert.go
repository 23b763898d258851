package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// scale is a row of the table made ready to compute with.
type scale struct {
	unit
	factor  *big.Rat
	offset  *big.Rat // nil for 0
	times   float64  // factor as a float
	minus   float64  // offset as a float
	shift   int      // factor is 10^shift
	decimal bool     // factor is a power of ten and there is no offset
}

var (
	scales   = makeScales()
	bySymbol = indexSymbols()
	byName   = indexNames()
)

func makeScales() []*scale {
	all := make([]*scale, len(unitTable))
	for i, u := range unitTable {
		s := &scale{unit: u, factor: rational(u.factor)}
		s.times, _ = s.factor.Float64()
		if u.offset != "" {
			s.offset = rational(u.offset)
			s.minus, _ = s.offset.Float64()
		}
		s.shift, s.decimal = powerOfTen(u.factor)
		s.decimal = s.decimal && s.offset == nil && u.symbol != gauge
		all[i] = s
	}
	return all
}

func rational(text string) *big.Rat {
	if text == "" {
		text = "1"
	}
	numerator, denominator, found := strings.Cut(text, "/")
	r, ok := new(big.Rat).SetString(numerator)
	if ok && found {
		var d *big.Rat
		if d, ok = new(big.Rat).SetString(denominator); ok {
			r.Quo(r, d)
		}
	}
	if !ok {
		panic("quantity: unit table has the factor " + text)
	}
	return r
}

func powerOfTen(factor string) (int, bool) {
	switch factor {
	case "":
		return 0, true
	case "100":
		return 2, true
	case "10":
		return 1, true
	}
	exponent, found := strings.CutPrefix(factor, "1e")
	if !found {
		return 0, false
	}
	n, err := strconv.Atoi(exponent)
	return n, err == nil
}

func indexSymbols() map[string]*scale {
	index := make(map[string]*scale, len(scales))
	for _, s := range scales {
		index[s.symbol] = s
	}
	return index
}

func indexNames() map[string]*scale {
	index := make(map[string]*scale, 3*len(scales))
	for _, s := range scales {
		for _, name := range append([]string{s.symbol}, s.aliases...) {
			if other, taken := index[name]; taken && other != s {
				panic("quantity: two units are called " + name)
			}
			index[name] = s
		}
	}
	return index
}

// plainUnit brings the ways of typing one unit to one spelling: the micro and
// the ohm sign of either code point, the dots used for a product, the spaces.
func plainUnit(text string) string {
	if isPlainASCII(text) {
		return text
	}
	text = strings.Map(func(r rune) rune {
		switch r {
		case 'μ': // U+03BC, Greek letter mu
			return 'µ' // U+00B5, micro sign
		case '\u2126': // ohm sign
			return 'Ω' // U+03A9, Greek letter omega
		case '*', '⋅', '∙', '•', '×':
			return '·'
		case '\u2206': // increment
			return 'Δ'
		}
		if isSpace(r) {
			return ' '
		}
		return r
	}, text)
	return strings.Join(strings.Fields(text), " ")
}

func isPlainASCII(text string) bool {
	for i := range len(text) {
		if c := text[i]; c <= ' ' || c >= 0x80 || c == '*' {
			return false
		}
	}
	return true
}

// base converts a number in the unit, given as decimal text, to the base
// unit, correctly rounded once. ok is false if the result is beyond the range
// of a float64.
func (s *scale) base(decimal string, difference bool) (value float64, ok bool) {
	if s.symbol == gauge {
		n, err := strconv.Atoi(decimal)
		if err != nil {
			return 0, false
		}
		return float64(GaugeArea(n)), true
	}
	if s.decimal {
		if s.shift != 0 {
			decimal = shiftExponent(decimal, s.shift)
		}
		value, err := strconv.ParseFloat(decimal, 64)
		return value + 0, err == nil // + 0 makes of −0 a plain 0
	}
	r, good := new(big.Rat).SetString(decimal)
	if !good {
		return 0, false
	}
	if s.offset != nil && !difference {
		r.Sub(r, s.offset)
	}
	value, _ = r.Mul(r, s.factor).Float64()
	return value, finite(value)
}

// shiftExponent multiplies decimal text by a power of ten.
func shiftExponent(decimal string, by int) string {
	mantissa, exponent, found := strings.Cut(decimal, "e")
	if found {
		n, err := strconv.Atoi(exponent)
		if err != nil {
			return decimal
		}
		by += n
	}
	return mantissa + "e" + strconv.Itoa(by)
}

// number is the value of a base-unit figure in the unit, as a float: near
// enough for rounding, not for reading back. A factor below one has no exact
// float, so its inverse is used.
func (s *scale) number(base float64) float64 {
	switch {
	case s.symbol == gauge:
		return GaugeNumber(SquareMillimetres(base))
	case s.decimal && s.shift < 0:
		return base * math.Pow10(-s.shift)
	}
	return base/s.times + s.minus
}

// amount is the size of a difference in the unit.
func (s *scale) amount(base float64) float64 {
	if s.decimal && s.shift < 0 {
		return base * math.Pow10(-s.shift)
	}
	return base / s.times
}

// text is the shortest decimal, with at least the given decimals (−1: none
// asked for), that base reads back as exactly this value. ok is false if the
// unit has no such decimal.
func (s *scale) text(base float64, decimals int, difference bool) (text string, ok bool) {
	if s.symbol == gauge {
		return gaugeText(base)
	}
	if s.decimal {
		return layOut(strconv.FormatFloat(base, 'e', -1, 64), -s.shift, decimals), true
	}
	y := new(big.Rat).SetFloat64(base)
	y.Quo(y, s.factor)
	if s.offset != nil && !difference {
		y.Add(y, s.offset)
	}
	return s.search(y, base, decimals, difference)
}

// search finds the shortest decimal near y that reads back as base.
func (s *scale) search(y *big.Rat, base float64, decimals int, difference bool) (string, bool) {
	reads := func(t string) bool {
		got, ok := s.base(t, difference)
		return ok && got == base
	}
	near, _ := y.Float64()
	if math.Abs(near) < tooWide {
		for d := range 13 {
			if t := y.FloatString(d); reads(t) {
				return padded(unsigned(t), decimals), true
			}
		}
	}
	for figures := 12; figures <= 22; figures++ {
		f := new(big.Float).SetPrec(256).SetRat(y)
		if t := f.Text('e', figures-1); reads(t) {
			return layOut(t, 0, decimals), true
		}
	}
	return "", false
}

// Bounds of plain notation; beyond them a power of ten is written.
const (
	tooWide      = 1e21
	beyondPlaces = 1e18 // well below tooWide, so that rounding cannot cross it
	maxDecimals  = 30
)

// twelveFigures writes x without the noise of computing in its last digits.
func twelveFigures(x float64) string {
	return layOut(strconv.FormatFloat(x, 'e', 11, 64), 0, -1)
}

// layOut writes the digits of 'e' notation, multiplied by 10^shift, as plain
// decimals with at least the given number of decimals, or with a power of ten
// if that would be long.
func layOut(e string, shift, decimals int) string {
	sign := ""
	if rest, negative := strings.CutPrefix(e, "-"); negative {
		sign, e = "-", rest
	}
	mantissa, exponentText, _ := strings.Cut(e, "e")
	exponent, err := strconv.Atoi(exponentText)
	if err != nil {
		return sign + e
	}
	exponent += shift
	digits := strings.TrimRight(strings.Replace(mantissa, ".", "", 1), "0")
	if digits == "" {
		digits, exponent, sign = "0", 0, ""
	}
	if exponent > 20 || exponent < -9 {
		if len(digits) > 1 {
			digits = digits[:1] + "." + digits[1:]
		}
		if exponent < 0 {
			digits = padded(digits, decimals+exponent)
		}
		return sign + digits + "e" + strconv.Itoa(exponent)
	}
	whole, fraction := "0", ""
	switch {
	case exponent < 0:
		fraction = strings.Repeat("0", -exponent-1) + digits
	case len(digits) <= exponent+1:
		whole = digits + strings.Repeat("0", exponent+1-len(digits))
	default:
		whole, fraction = digits[:exponent+1], digits[exponent+1:]
	}
	if fraction != "" {
		whole += "." + fraction
	}
	return sign + padded(whole, decimals)
}

// padded adds zeros to plain decimals until there are as many as asked for.
func padded(text string, decimals int) string {
	_, fraction, found := strings.Cut(text, ".")
	n := decimals - len(fraction)
	if n <= 0 || n > maxDecimals {
		return text
	}
	if !found {
		text += "."
	}
	return text + strings.Repeat("0", n)
}

// unsigned takes the sign from a number whose digits are all zero.
func unsigned(text string) string {
	if strings.HasPrefix(text, "-") && strings.Trim(text, "-0.") == "" {
		return text[1:]
	}
	return text
}

// fixed writes x with digits down to 10^place, place above 0 rounding to
// tens, hundreds and so on. It never writes "-0", and never
// more than fourteen figures, since the next may be noise of the converting.
func fixed(x float64, place int) string {
	if math.Abs(x) >= beyondPlaces {
		return twelveFigures(x)
	}
	if math.Abs(x) >= math.Pow10(14+place) {
		place = max(place, magnitude(x)-13)
	}
	if e := magnitude(x); e < -9 && e >= place {
		return layOut(strconv.FormatFloat(x, 'e', e-place, 64), 0, -place)
	}
	if place <= 0 {
		return unsigned(strconv.FormatFloat(x, 'f', -place, 64))
	}
	whole := strconv.FormatFloat(math.Trunc(x), 'f', 0, 64) // rounded once, below
	r, ok := new(big.Int).SetString(whole, 10)
	if !ok {
		return whole
	}
	step := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(place)), nil)
	half := new(big.Int).Rsh(step, 1)
	if r.Sign() < 0 {
		half.Neg(half)
	}
	r.Add(r, half).Quo(r, step).Mul(r, step)
	return r.String()
}
