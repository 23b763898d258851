package value

import (
	"fmt"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// The words between the two values of a comparison.
const (
	over = "over" // the ratio of the first to the second
	less = "less" // what the first is more than the second
)

// compare makes the ratio or the difference of two values.
func compare(a, b Value, by string) (Value, *journal.TargetError) {
	words := map[string]string{over: "over", less: "less"}[by]
	v := Value{Label: a.Label + " " + words + " " + b.Label, Kind: Computed, Currency: a.Currency, Pair: &Pair{a, b, by}, Formula: "comparison"}
	if a.Label == b.Label {
		v.Label = a.Label
	}
	refuse := func(why string) (Value, *journal.TargetError) {
		return Value{}, &journal.TargetError{Text: fmt.Sprintf("`%s` and `%s` cannot be compared: %s", a.Where(), b.Where(), why), Remedy: "compare two values of one dimension."}
	}
	x, hasFirst := a.Quantity.Get()
	y, hasSecond := b.Quantity.Get()
	switch {
	case a.Form == FormName || b.Form == FormName:
		return refuse("a text is no number")
	case a.Form != b.Form:
		return refuse("they are of different sorts")
	case hasFirst && hasSecond && x.Dimension != y.Dimension:
		return refuse(fmt.Sprintf("%s is no %s", x.Dimension.WithArticle(), y.Dimension))
	case a.Currency != b.Currency:
		return refuse("they are in different currencies")
	case by == over && (hasFirst && x.Dimension == quantity.Temperature || a.Form == FormDate):
		return refuse("a ratio of degrees or of days of the calendar means nothing")
	}
	v.Form = FormRatio
	if by == less {
		v.Form = FormChange
	}
	var corr [][]float64
	if a.Where() == b.Where() {
		corr = [][]float64{{1, 1}, {1, 1}}
	}
	switch {
	case !b.Known():
		v.Quantity = none("There is no %s: %s", b.Where(), lowerFirst(b.Why()))
	case !a.Known():
		v.Quantity = none("There is no %s: %s", a.Where(), lowerFirst(a.Why()))
	case a.Form == FormDate:
		v.Quantity = quantity.Some(daysBetween(a, b))
	case by == less:
		v.Quantity = quantity.Some(difference(x, y, corr))
	case y.Value == 0:
		v.Quantity = none("%s is nothing, and nothing can be set against it.", b.Where())
	default:
		v.Quantity = quantity.Some(ratio(x, y, corr))
	}
	return v, nil
}

func none(format string, of ...any) quantity.Optional[quantity.Quantity] {
	return quantity.None[quantity.Quantity](fmt.Sprintf(format, of...))
}

// daysBetween is what one day is later than another.
func daysBetween(a, b Value) quantity.Quantity {
	q := quantity.Exact(quantity.Seconds(a.Day.Time().Sub(b.Day.Time()).Seconds())).Quantity()
	q.Unit = "d"
	return q
}

// difference is x − y with the uncertainty of both; corr is the correlation of their errors, nil for none.
func difference(x, y quantity.Quantity, corr [][]float64) quantity.Quantity {
	q := quantity.Quantity{Dimension: x.Dimension, Unit: x.Unit, Decimals: -1}
	if x.Dimension == quantity.Temperature {
		q.Dimension, q.Unit = quantity.TemperatureDifference, ""
	}
	if x.Decimals >= 0 && y.Decimals >= 0 && x.Unit == y.Unit && !(x.U > 0) && !(y.U > 0) {
		q.Decimals = max(x.Decimals, y.Decimals)
	}
	q.Value, q.U = quantity.Propagate(func(q []float64) float64 { return q[0] - q[1] }, []float64{x.Value, y.Value}, []float64{x.U, y.U}, corr)
	return q
}

// ratio is x over y, a plain number, with the uncertainty of both; corr is the correlation of their errors, nil for none.
func ratio(x, y quantity.Quantity, corr [][]float64) quantity.Quantity {
	q := quantity.Quantity{Dimension: quantity.Plain, Decimals: -1}
	q.Value, q.U = quantity.Propagate(func(q []float64) float64 { return q[0] / q[1] }, []float64{x.Value, y.Value}, []float64{x.U, y.U}, corr)
	return q
}

func lowerFirst(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}
