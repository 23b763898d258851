package quantity

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Accuracy is an instrument's stated limit of error: a part of the reading,
// a number of counts of the last digit, a fixed amount, or a sum of these.
type Accuracy struct {
	Fraction float64  // of the reading: 0.005 for 0.5 %
	Digits   float64  // counts of the last digit shown
	Absolute Quantity // a fixed amount; the zero Quantity if there is none
}

// Standard is the standard uncertainty of a reading, (fraction × |reading| +
// digits × resolution + fixed amount)/√3: the stated limit is taken as the half
// width of a rectangular distribution (JCGM 100:2008, 4.3.7). reading and
// resolution, the value of one count, are in the base unit.
func (a Accuracy) Standard(reading, resolution float64) float64 {
	return a.Limit(reading, resolution) / math.Sqrt(3)
}

// Limit is the largest error the statement allows at a reading.
func (a Accuracy) Limit(reading, resolution float64) float64 {
	limit := a.Fraction*math.Abs(reading) + math.Abs(a.Absolute.Value)
	if a.Digits != 0 {
		limit += a.Digits * resolution
	}
	return limit
}

// String writes the statement as it is best read: "±(0.5 % + 2 digits)".
func (a Accuracy) String() string {
	var terms []string
	if a.Fraction != 0 {
		terms = append(terms, Quantity{Dimension: Share, Value: a.Fraction, Unit: "%", Decimals: -1}.String())
	}
	if a.Absolute.Value != 0 {
		terms = append(terms, a.Absolute.String())
	}
	switch {
	case a.Digits == 1:
		terms = append(terms, "1 digit")
	case a.Digits != 0:
		terms = append(terms, strconv.FormatFloat(a.Digits, 'f', -1, 64)+" digits")
	}
	switch len(terms) {
	case 0:
		return "±0 digits"
	case 1:
		return "±" + terms[0]
	}
	return "±(" + strings.Join(terms, " + ") + ")"
}

const accuracyExample = "an accuracy is written ±(0.5 % + 2 digits), ±0.5 %, ±2 digits or ±0.05 V"

// ParseAccuracy reads an instrument's statement of accuracy as data sheets
// give it: "±(0.5 % + 2 digits)", "±0.5 %", "±2 digits" (also dgt, counts),
// "±0.05 V", "±(0.8 % + 0.02 V)"; "of reading" or "rdg" may follow the per cent,
// +/- may stand for ±. A share of the range is refused, since the range is not
// known here. A fixed amount in °C or °F is a difference. The error is a
// *ParseError.
func ParseAccuracy(text string) (Accuracy, error) {
	p := &parser{text, anyDimension}
	a, err := p.accuracy()
	if err != nil {
		return Accuracy{}, err
	}
	return a, nil
}

func (p *parser) accuracy() (a Accuracy, err *ParseError) {
	if len(p.text) > longestText {
		return a, p.fail(0, "the text is too long; "+accuracyExample)
	}
	before, rest, found := part{p.text, 0}.trim().cutPlusMinus()
	if !found || before.text != "" || rest.text == "" {
		return a, p.fail(0, strconv.Quote(p.text)+" is no accuracy; "+accuracyExample)
	}
	if strings.HasPrefix(rest.text, "(") {
		if !strings.HasSuffix(rest.text, ")") {
			return a, p.fail(rest.at, "the bracket is not closed; "+accuracyExample)
		}
		rest = part{rest.text[1 : len(rest.text)-1], rest.at + 1}.trim()
	}
	for more := true; more; {
		var term part
		i := strings.IndexByte(rest.text, '+')
		if more = i >= 0; more {
			term, rest = rest.upTo(i).trim(), rest.from(i+1).trim()
		} else {
			term = rest
		}
		if err := p.accuracyTerm(term, &a); err != nil {
			return a, err
		}
	}
	return a, nil
}

// What may follow the number of a term, in small letters.
var (
	shareWords = []string{"%", "% rdg", "% of rdg", "% reading", "% of reading", "percent", "% of value"}
	digitWords = []string{"digit", "digits", "dgt", "dgts", "dgt.", "count", "counts", "lsd", "d"}
	rangeWords = []string{"% fs", "% of fs", "% of range", "% range", "% of full scale", "% f.s."}
)

func (p *parser) accuracyTerm(term part, a *Accuracy) *ParseError {
	n, length, f := readNumber(term.text)
	if f != nil {
		reason := f.reason
		if reason == numberWanted {
			reason = strconv.Quote(term.text) + " does not begin with a number; " + accuracyExample
		}
		return p.fail(term.at+f.at, reason)
	}
	if strings.HasPrefix(n.text, "-") {
		return p.fail(term.at, "an accuracy is not negative")
	}
	unit := term.from(length).trim()
	switch name := strings.ToLower(plainUnit(unit.text)); {
	case name == "":
		return p.fail(unit.at, term.text+" has no unit; write digits for counts of the last digit")
	case slices.Contains(shareWords, name):
		fraction, ok := bySymbol["%"].base(n.text, false)
		if !ok || !inRange(fraction) || a.Fraction != 0 {
			return p.fail(term.at, "the share of the reading stands twice or is out of range")
		}
		a.Fraction = fraction
	case slices.Contains(digitWords, name):
		digits, err := strconv.ParseFloat(n.text, 64)
		if err != nil || !inRange(digits) || a.Digits != 0 {
			return p.fail(term.at, "the digits stand twice or are out of range")
		}
		a.Digits = digits
	case slices.Contains(rangeWords, name):
		return p.fail(unit.at, "a share of the range is not read, since the range is not written here; write the amount, as in ±0.05 V")
	default:
		return p.accuracyAmount(term, unit, a)
	}
	return nil
}

// accuracyAmount reads a fixed amount; a temperature is meant as a difference.
func (p *parser) accuracyAmount(term, unit part, a *Accuracy) *ParseError {
	want := anyDimension
	if s := byName[plainUnit(unit.text)]; s != nil && s.dimension == Temperature {
		want = TemperatureDifference
	}
	q, err := (&parser{term.text, want}).quantity()
	if err != nil {
		err.Text, err.Offset = p.text, min(err.Offset+term.at, len(p.text))
		return err
	}
	switch {
	case a.Absolute.Value != 0:
		return p.fail(term.at, "the fixed amount stands twice")
	case q.U != 0 || strings.Contains(term.text, "±"):
		return p.fail(term.at, "an accuracy has one ± sign, at its beginning; "+accuracyExample)
	case q.Dimension == Share:
		return p.fail(term.at, "a share is written in %; "+accuracyExample)
	}
	a.Absolute = q
	return nil
}
