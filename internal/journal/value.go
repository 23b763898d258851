package journal

import (
	"math"
	"math/big"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Origin says what a value rests on.
type Origin string

// The three kinds of value.
const (
	OfMeasuring Origin = "measured" // on a run
	OfComputing Origin = "computed" // from what was measured or stated
	OfStating   Origin = "quoted"   // as the maker states it
)

// Form says what sort of thing a value is.
type Form string

// The forms of a value.
const (
	FormNumber Form = "number" // a quantity of a dimension
	FormChange Form = "change" // a difference of two quantities of a dimension
	FormRatio  Form = "ratio"  // one value over another
	FormCount  Form = "count"  // a whole number of things
	FormPrice  Form = "price"  // an amount of a currency
	FormDate   Form = "date"   // a day of the calendar
	FormName   Form = "name"   // a text, such as the name of a part
)

// Value is one thing that a sentence can be bound to: what a note states, a run
// measured or the program computed.
type Value struct {
	Name  string // within its place: "cutout.opens", "running-time", "run-time/field-2026-04-12/own"
	Label string // in words
	Place Place
	Form  Form

	Origin   Origin
	Quantity quantity.Quantity // of every form but a Date and a Name; a price in its currency, a change of dates in seconds
	Currency string            // of a Price or a change of prices, ISO 4217
	Day      notes.Date        // of a Date
	Text     []string          // of a Name: as it is written, then other words for it
	Missing  string            // why there is no value, a sentence; "" where there is one
	Formula  string            // name of the documentation of how it is made, "" where it is stated
	From     string            // where the maker has it from, "" where that is not said
	Span     finding.Span      // where it is stated; the zero Span where it is not
	Pair     *Pair             // what a comparison compares, nil for others
}

// Pair is what a comparison compares.
type Pair struct {
	First, Second Value
	By            string // "over" or "less"
}

// Where names the value from anywhere in the journal: "shunter/3-second-pack/cutout.opens".
func (v Value) Where() string {
	if v.Pair != nil {
		return v.Pair.First.Where() + "/" + v.Pair.By + "/" + v.Pair.Second.Where()
	}
	return v.Place.Address() + v.Name
}

// Number is the value as it is held against words: in base units, a Date in
// days since 1970-01-01. It is NaN for a Name and where there is no value.
func (v Value) Number() float64 {
	switch {
	case v.Missing != "" || v.Form == FormName:
		return math.NaN()
	case v.Form == FormDate:
		return float64(v.Day.Time().Unix()) / secondsOfDay
	}
	return v.Quantity.Value
}

const secondsOfDay = 86400

// Words says the value with its uncertainty.
func (v Value) Words() string {
	switch v.Form {
	case FormName:
		return v.Text[0]
	case FormDate:
		return v.Day.String()
	case FormPrice:
		return Money(v.Quantity.Value, v.Currency)
	case FormCount:
		return strconv.FormatFloat(v.Quantity.Value, 'f', -1, 64)
	case FormChange:
		if v.Currency != "" {
			return Money(v.Quantity.Value, v.Currency)
		}
	case FormRatio:
		q := v.Quantity
		if !(q.U > 0) { // no uncertainty gives it a place
			q.U = math.NaN()
			q.Decimals = 3
		}
		return q.Rounded()
	}
	return v.Quantity.Rounded()
}

// Money writes an amount of a currency to the hundredth.
func Money(x float64, currency string) string {
	return strings.TrimSpace(strconv.FormatFloat(x, 'f', 2, 64) + " " + currency)
}

// exactly makes a value of whole numbers.
func counted(name, label string, n int) Value {
	return Value{Name: name, Label: label, Form: FormCount, Origin: OfComputing, Quantity: quantity.Exact(quantity.Number(n)).Quantity()}
}

// computedOf makes a value from a measured one; why says why there is none.
func computedOf[K quantity.Kind](name, label, formula string, m quantity.Measured[K], why string) Value {
	v := Value{Name: name, Label: label, Form: FormNumber, Origin: OfComputing, Quantity: m.Quantity(), Formula: formula, Missing: why}
	if why == "" && !m.Known() {
		v.Missing = "It is not known."
	}
	return v
}

// costOf makes a value of sums of money; it is missing where a price is, and where there are several currencies.
func costOf(name, label string, sums Sums, unpriced int, currency string) Value {
	v := Value{Name: name, Label: label, Form: FormPrice, Origin: OfComputing, Currency: currency, Formula: "parts-account"}
	sum := new(big.Rat)
	switch {
	case unpriced > 0:
		v.Missing = "The price of a part is not stated."
	case len(sums.Order) > 1:
		v.Missing = "The prices are in several currencies."
	case len(sums.Order) == 1:
		v.Currency, sum = sums.Order[0], sums.Amount[sums.Order[0]]
	}
	if v.Missing == "" {
		x, _ := sum.Float64()
		v.Quantity = quantity.Exact(quantity.Number(x)).Quantity()
	}
	return v
}
