package quantity

import (
	"fmt"
	"math"
)

// Quantity is a value whose dimension is known only when the program runs:
// one that was parsed, or one that is to be printed.
type Quantity struct {
	Dimension Dimension
	Value     float64 // in the dimension's base unit; NaN: there is no value
	U         float64 // standard uncertainty (k = 1) in the base unit; 0 exact, NaN unknown
	// Unit is the symbol of the unit as written; "" leaves the choice to the
	// printing. A time in parts has "h min" or "h min s".
	Unit     string
	Decimals int // decimals as written, in Unit; -1 unknown
}

// Known says whether there is a value, that is, a finite number.
func (q Quantity) Known() bool { return finite(q.Value) }

// As makes a typed value of q; the dimension must be that of K. The error is a
// *ParseError.
func As[K Kind](q Quantity) (Measured[K], error) {
	var k K
	if d := k.Dimension(); q.Dimension != d {
		text := q.String()
		return Missing[K](), &ParseError{Text: text, Reason: fmt.Sprintf("%s is %s; %s such as %s is wanted",
			text, q.Dimension.WithArticle(), d.WithArticle(), d.Example())}
	}
	return Of(K(q.Value), K(q.U)), nil
}

// In is the same quantity written in another unit of its dimension, by symbol
// or any spelling that Parse reads; "" is the default for its size. Value and
// uncertainty stay as they are. Decimals become those that say no more than
// the original did: 64 kg is 141 lb and 5 km is 3.1 mi.
func (q Quantity) In(unit string) (Quantity, error) {
	from := q.scale()
	if q.Dimension == Time && (unit == toTheMinute || unit == toTheSecond) {
		to := q
		to.Unit, to.Decimals = unit, q.decimalsIn(from, bySymbol["s"])
		return to, nil
	}
	if unit == "" {
		q.Unit = ""
		unit = q.scale().symbol
		if q.inParts() {
			q.Decimals = q.decimalsIn(from, bySymbol["s"])
			return q, nil
		}
	}
	s := byName[plainUnit(unit)]
	if s != nil && q.Dimension == TemperatureDifference {
		if difference, is := inDifference[s.symbol]; is {
			s = bySymbol[difference]
		}
	}
	switch {
	case s == nil:
		return q, &ParseError{Text: unit, Reason: fmt.Sprintf("%q is not a known unit", unit), Nearest: nearestUnit(plainUnit(unit), q.Dimension)}
	case s.dimension != q.Dimension:
		return q, &ParseError{Text: unit, Reason: fmt.Sprintf("%s measures %s; a unit of %s is wanted", s.symbol, s.dimension.WithArticle(), q.Dimension)}
	case s.symbol == gauge:
		if _, ok := gaugeText(q.Value); !ok {
			return q, &ParseError{Text: unit, Reason: q.Rounded() + " is not a size of the American wire gauge"}
		}
		q.Decimals = 0
	default:
		q.Decimals = q.decimalsIn(from, s)
	}
	q.Unit = s.symbol
	return q, nil
}

// decimalsIn carries Decimals over to another unit.
func (q Quantity) decimalsIn(from, to *scale) int {
	switch {
	case from.symbol == gauge: // sizes are kept to three figures
		return max(0, 2-magnitude(to.number(q.Value)))
	case from == to && q.Unit != toTheMinute:
		return q.Decimals
	}
	decimals := q.Decimals
	if decimals < 0 && q.U == 0 { // an exact value has its own
		decimals = decimalsOf(twelveFigures(from.number(q.Value)))
	}
	if decimals < 0 {
		return -1
	}
	step := math.Pow10(-decimals) * from.times / to.times
	if q.Unit == toTheMinute {
		step *= secondsPerMinute
	}
	return min(maxDecimals, max(0, -int(math.Floor(math.Log10(step)+1e-9))))
}

// PartsIn is Parts in a fixed unit, for a column that keeps one: see
// ColumnUnit. A unit of another dimension is an error.
func (q Quantity) PartsIn(unit string) (Parts, error) {
	in, err := q.In(unit)
	if err != nil {
		return Parts{}, err
	}
	return in.Parts(), nil
}

// Customary is the US customary twin that a reader may want beside a metric
// value: mi, ft or in for a length, mph, °F, lb or oz, lbf·ft, Wh/mi, and for a
// cross-section the nearest gauge (which is another size, so write ≈ before
// it). There is none, and ok is false, for volts, amperes, ampere-hours,
// watt-hours, watts, ohms, times, and for what is customary already.
func (q Quantity) Customary() (twin Quantity, ok bool) {
	s := q.scale()
	if s.us || s.twin == "" || !finite(q.Value) {
		return Quantity{}, false
	}
	if s.twin == gauge {
		n, ok := nearestGauge(SquareMillimetres(q.Value))
		return Quantity{Dimension: Area, Value: float64(GaugeArea(n)), Unit: gauge}, ok
	}
	twin, err := q.In(s.twin)
	return twin, err == nil
}

// Metric is the twin the other way, for a value written in US customary units.
func (q Quantity) Metric() (twin Quantity, ok bool) {
	s := q.scale()
	if !s.us || s.twin == "" || !finite(q.Value) {
		return Quantity{}, false
	}
	twin, err := q.In(s.twin)
	return twin, err == nil
}

// LastPlace is what one step in the last digit as written is worth, in the base
// unit: 0.1 V for 24.6 V. It is false where the digits are not known, for a
// size of wire, and for a time in parts.
func (q Quantity) LastPlace() (float64, bool) {
	u, ok := FindUnit(q.Unit)
	if !ok || q.Decimals < 0 || q.inParts() || u.Dimension() != q.Dimension {
		return 0, false
	}
	return u.Base(math.Pow(10, -float64(q.Decimals))) - u.Base(0), true
}
