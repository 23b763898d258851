package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Parts is a quantity taken apart for a table or a template. Nothing in it
// needs any further rounding.
type Parts struct {
	Value string // "23.14"; a time in parts carries its units: "2 h 7 min 30.5 s"
	Plus  string // the expanded uncertainty (k = 2), "0.06"; "" if exact or unknown
	Unit  string // "V"; "" for a plain number and for a time in parts
}

// String writes every digit, so that parsing it gives the same quantity back:
// the same dimension and, bit for bit, the same value and uncertainty (an
// unknown uncertainty is not written). A difference of temperatures is written
// in K or Δ°F. A missing value is "no value", which does not parse.
func (q Quantity) String() string {
	if !finite(q.Value) {
		return noValue
	}
	s := q.scale()
	text, unit, ok := q.exactText(s)
	var plus string
	if ok && q.U > 0 {
		plus, ok = s.text(CoverageFactor*q.U, -1, true)
	}
	if !ok { // no decimal in this unit is exactly this value
		s = bySymbol[q.Dimension.BaseUnit()]
		if q.Dimension == Share {
			s = bySymbol["%"]
		}
		q.Unit = s.symbol
		text, unit, _ = q.exactText(s)
		plus, _ = s.text(CoverageFactor*q.U, -1, true)
	}
	text = withUnit(text, unit)
	if q.U > 0 {
		text += " ± " + withUnit(plus, s.symbol)
	}
	return text
}

func (q Quantity) exactText(s *scale) (text, unit string, ok bool) {
	if q.inParts() {
		return clockExact(q.Value, q.Decimals, q.Unit), "", true
	}
	text, ok = s.text(q.Value, q.Decimals, false)
	return text, s.symbol, ok
}

func withUnit(text, unit string) string {
	if unit == "" {
		return text
	}
	return text + " " + unit
}

// inParts says whether q is a time to be written in hours, minutes, seconds.
func (q Quantity) inParts() bool {
	return q.Dimension == Time && (q.Unit == "" || q.Unit == toTheMinute || q.Unit == toTheSecond)
}

// scale is the unit q is written in: its own, or by size if it has none.
func (q Quantity) scale() *scale {
	if q.inParts() {
		return bySymbol["s"]
	}
	if s := bySymbol[q.Unit]; s != nil && s.dimension == q.Dimension && (q.Unit != "" || q.Dimension == Plain) {
		return s
	}
	return bySymbol[ColumnUnit(q)]
}

// ColumnUnit is the unit in which to print a column of quantities of one
// dimension, chosen by the largest of them: mΩ, Ω or kΩ and the like. The same
// values give the same unit in whatever order they come. For times it is "",
// that is, hours, minutes and seconds.
func ColumnUnit(column ...Quantity) string {
	if len(column) == 0 || int(column[0].Dimension) >= dimensionCount {
		return ""
	}
	var largest float64
	for _, q := range column {
		if v := math.Abs(q.Value); finite(v) {
			largest = math.Max(largest, v)
		}
	}
	d := column[0].Dimension
	if largest == 0 && d.BaseUnit() != "" && d != Speed && d != Time {
		return d.BaseUnit()
	}
	unit := ""
	for _, step := range dimensionWords[d].shown {
		if largest >= step.from {
			unit = step.unit
		}
	}
	return unit
}

// Rounded writes the value for reading, rounded from its uncertainty:
// "(23.14 ± 0.06) V", where ± is the expanded uncertainty with k = 2. See
// Parts for the rule. Parsing it as q's dimension gives back the rounded value
// and uncertainty, and rounding those gives the same text.
func (q Quantity) Rounded() string { return q.Parts().String() }

// String puts the parts together as Rounded does.
func (p Parts) String() string {
	switch {
	case p.Plus == "":
		return withUnit(p.Value, p.Unit)
	case p.Unit == "":
		return p.Value + " ± " + p.Plus
	default:
		return "(" + p.Value + " ± " + p.Plus + ") " + p.Unit
	}
}

// Parts rounds q for reading.
//
//   - With an uncertainty: the expanded uncertainty keeps two figures while
//     they are below 50, one from there on, never more than two (JCGM 100:2008,
//     7.2.6), and the value is rounded to the same place. The uncertainty is
//     rounded to nearest, but up where nearest would make it more than 4 %
//     smaller, so that 10.47 becomes 11 and 28.05 becomes 28, as there.
//     Where Decimals is known, no more decimals than those are written.
//   - Exact: as many decimals as were written, else the digits the value has,
//     up to twelve figures.
//   - Uncertainty unknown: as many decimals as were written, else three
//     figures, with no figure before the decimal point taken away.
//
// A time without a unit of its own is written in hours, minutes and seconds;
// from an expanded uncertainty of a minute on it is rounded to the minute.
// Zero never carries a minus sign.
func (q Quantity) Parts() Parts {
	if !finite(q.Value) {
		return Parts{Value: noValue}
	}
	if q.inParts() {
		return q.clockParts()
	}
	s := q.scale()
	if s.symbol == gauge {
		if text, ok := gaugeText(q.Value); ok {
			return Parts{Value: text, Unit: gauge}
		}
		s = bySymbol[Area.BaseUnit()]
		q.Decimals = -1
	}
	x := s.number(q.Value)
	p := Parts{Unit: s.symbol}
	if label, is := inLabel[s.symbol]; is {
		p.Unit = label
	}
	if plus := s.amount(CoverageFactor * q.U); plus > 0 && finite(plus) {
		var place int
		p.Plus, place = roundUncertainty(plus, q.finest())
		p.Value = fixed(x, place)
		return p
	}
	p.Value = q.stated(x)
	return p
}

// stated writes a number whose uncertainty gives no place to round it to.
func (q Quantity) stated(x float64) string {
	switch {
	case q.Decimals >= 0:
		return fixed(x, -q.Decimals)
	case q.U == 0:
		return layOut(strconv.FormatFloat(x, 'e', 11, 64), 0, -1)
	default:
		return fixed(x, min(0, magnitude(x)-2))
	}
}

// magnitude is the power of ten of the first figure.
func magnitude(x float64) int {
	if x == 0 {
		return 0
	}
	_, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', 2, 64), "e")
	n, _ := strconv.Atoi(exponent)
	return max(n, -maxDecimals+2)
}

// finest is the place of the last decimal that may be written.
func (q Quantity) finest() int {
	if q.Decimals >= 0 {
		return -q.Decimals
	}
	return -maxDecimals
}

// roundUncertainty writes an expanded uncertainty by the rule of Parts, down to
// the finest place at most, and tells the place of its last figure.
func roundUncertainty(u float64, finest int) (text string, place int) {
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(u, 'e', 1, 64), "e")
	place, _ = strconv.Atoi(exponent)
	if mantissa < "5" {
		place--
	}
	place = max(place, finest)
	text = fixed(u, place)
	if near, _ := strconv.ParseFloat(text, 64); u-near > 0.04*u {
		text = fixed(near+math.Pow10(place), place)
	}
	return text, place
}

func (q Quantity) clockParts() Parts {
	if plus := CoverageFactor * q.U; plus > 0 && finite(plus) {
		if plus >= secondsPerMinute || q.Unit == toTheMinute {
			return Parts{
				Value: Clock(Seconds(q.Value), secondsPerMinute),
				Plus:  roundMinutes(plus/secondsPerMinute) + " min",
			}
		}
		text, place := roundUncertainty(plus, q.finest())
		return Parts{Value: Clock(Seconds(q.Value), Seconds(math.Pow10(place))), Plus: text + " s"}
	}
	v := Seconds(q.Value)
	switch {
	case q.Unit == toTheMinute:
		return Parts{Value: Clock(v, secondsPerMinute)}
	case q.Decimals >= 0:
		return Parts{Value: Clock(v, Seconds(math.Pow10(-q.Decimals)))}
	case q.U == 0:
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(q.Value, 'e', 11, 64), 64)
		return Parts{Value: Clock(Seconds(rounded), 0)}
	default:
		return Parts{Value: Clock(v, Seconds(math.Pow10(min(0, magnitude(q.Value)-2))))}
	}
}

// roundMinutes writes an uncertainty in whole minutes, at least one. From 50
// minutes on it keeps one figure, as any other does.
func roundMinutes(minutes float64) string {
	text, _ := roundUncertainty(minutes, 0)
	return text
}
