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
	Plus  string // the expanded uncertainty (k = 2), "0.06" or, after a time in parts, "0.3 s"; "" if exact or unknown
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
	text, ok := q.exactText(s)
	if !ok { // no decimal in this unit is exactly this value; every unit of a share has one
		q.Unit = q.Dimension.BaseUnit()
		text, _ = q.exactText(bySymbol[q.Unit])
	}
	return text
}

// exactText writes q in a unit; ok is false if that cannot be exact. The value
// gets as many decimals as its uncertainty, as Parse would count them.
func (q Quantity) exactText(s *scale) (text string, ok bool) {
	plus, decimals := "", q.Decimals
	if q.U > 0 {
		if plus, ok = s.text(CoverageFactor*q.U, -1, true); !ok {
			return "", false
		}
		decimals = max(decimals, decimalsOf(plus))
		plus = " ± " + withUnit(plus, s.symbol)
	}
	if q.inParts() {
		return clockExact(q.Value, decimals, q.Unit) + plus, true
	}
	text, ok = s.text(q.Value, decimals, false)
	return withUnit(text, s.symbol) + plus, ok
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
		return twelveFigures(x)
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

// clockParts rounds a time in parts.
func (q Quantity) clockParts() Parts {
	v := Seconds(q.Value)
	if plus := CoverageFactor * q.U; plus > 0 && finite(plus) {
		text, place := roundUncertainty(plus, q.finest())
		if rounded, _ := strconv.ParseFloat(text, 64); rounded >= secondsPerMinute || q.Unit == toTheMinute {
			text, place = roundUncertainty(plus/secondsPerMinute, 0)
			if minutes, _ := strconv.ParseFloat(text, 64); minutes*secondsPerMinute >= secondsPerHour {
				return Parts{Value: clockTens(v, place), Plus: Clock(Seconds(minutes*secondsPerMinute), secondsPerMinute)}
			}
			return onePart(clockTens(v, place), text, "min")
		}
		return onePart(Clock(v, Seconds(math.Pow10(place))), text, "s")
	}
	switch {
	case q.Unit == toTheMinute:
		return onePart(Clock(v, secondsPerMinute), "", "min")
	case q.Decimals >= 0:
		return onePart(Clock(v, Seconds(math.Pow10(-q.Decimals))), "", "s")
	case q.U == 0:
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(q.Value, 'e', 11, 64), 64)
		return onePart(Clock(Seconds(rounded), 0), "", "s")
	default:
		return onePart(Clock(v, Seconds(math.Pow10(min(0, magnitude(q.Value)-2)))), "", "s")
	}
}

// clockTens is Clock to 10^place minutes.
func clockTens(s Seconds, place int) string {
	step := secondsPerMinute * math.Pow10(place)
	return Clock(Seconds(math.Round(float64(s)/step)*step), secondsPerMinute)
}

// onePart gives the unit of a time that turned out to have one part only its
// place in Parts; otherwise the units stay in the text.
func onePart(clock, plus, unit string) Parts {
	if number, is := strings.CutSuffix(clock, " "+unit); is && !strings.Contains(number, " ") {
		return Parts{number, plus, unit}
	}
	if plus != "" {
		plus += " " + unit
	}
	return Parts{Value: clock, Plus: plus}
}
