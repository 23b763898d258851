package value

import (
	"fmt"
	"math"
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
	da, db := a.Quantity.Dimension, b.Quantity.Dimension
	switch {
	case a.Form == FormName || b.Form == FormName:
		return refuse("a text is no number")
	case a.Form != b.Form:
		return refuse("they are of different sorts")
	case da != db && a.Form != FormDate && a.Missing == "" && b.Missing == "":
		return refuse(fmt.Sprintf("%s is no %s", da.WithArticle(), db))
	case a.Currency != b.Currency:
		return refuse("they are in different currencies")
	case by == over && (da == quantity.Temperature || a.Form == FormDate):
		return refuse("a ratio of degrees or of days of the calendar means nothing")
	}
	for _, one := range []Value{a, b} {
		if one.Missing != "" {
			v.Missing = fmt.Sprintf("There is no %s: %s", one.Where(), lowerFirst(one.Missing))
		}
	}
	x, y := a.Quantity, b.Quantity
	if a.Form == FormDate {
		v.Form = FormChange
		v.Quantity = quantity.Exact(quantity.Seconds(a.Day.Time().Sub(b.Day.Time()).Seconds())).Quantity()
		v.Quantity.Unit = "d"
		return v, nil
	}
	same := a.Where() == b.Where()
	var corr [][]float64
	if same {
		corr = [][]float64{{1, 1}, {1, 1}}
	}
	if by == less {
		v.Form = FormChange
		v.Quantity = quantity.Quantity{Dimension: da, Unit: x.Unit, Decimals: -1}
		if da == quantity.Temperature {
			v.Quantity.Dimension, v.Quantity.Unit = quantity.TemperatureDifference, ""
		}
		if x.Decimals >= 0 && y.Decimals >= 0 && x.Unit == y.Unit && !(x.U > 0) && !(y.U > 0) {
			v.Quantity.Decimals = max(x.Decimals, y.Decimals)
		}
		v.Quantity.Value, v.Quantity.U = quantity.Propagate(func(q []float64) float64 { return q[0] - q[1] }, []float64{x.Value, y.Value}, []float64{x.U, y.U}, corr)
		return v, nil
	}
	v.Form = FormRatio
	v.Quantity = quantity.Quantity{Dimension: quantity.Plain, Decimals: -1, Value: math.NaN(), U: math.NaN()}
	if y.Value == 0 && v.Missing == "" {
		v.Missing = fmt.Sprintf("%s is nothing, and nothing can be set against it.", b.Where())
	}
	if v.Missing == "" {
		v.Quantity.Value, v.Quantity.U = quantity.Propagate(func(q []float64) float64 { return q[0] / q[1] }, []float64{x.Value, y.Value}, []float64{x.U, y.U}, corr)
	}
	return v, nil
}

func lowerFirst(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}
