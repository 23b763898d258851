// Package value names everything that prose, tables and JSON can be bound to: what a note states, what a run measured, what was
// computed. [New] makes the index of a journal and its results; each place's part of it is filled when it is first asked for,
// and then kept, so that what a statement is bound to is looked up and not put together anew. An [Index] may be asked from
// several goroutines. Its values are shared: whoever gets one does not change it.
package value

import (
	"math"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Kind says what a value rests on.
type Kind string

// The three kinds of value.
const (
	Measured Kind = "measured" // on a run
	Computed Kind = "computed" // from what was measured or stated
	Quoted   Kind = "quoted"   // as the maker states it
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
	Place journal.Place
	Form  Form

	Kind     Kind
	Quantity quantity.Optional[quantity.Quantity] // of every form but a Date and a Name; a price in its currency, a change of dates in seconds
	Currency string                               // of a Price or a change of prices, ISO 4217
	Day      notes.Date                           // of a Date
	Text     []string                             // of a Name: as it is written, then other words for it
	Formula  string                               // name of the documentation of how it is made, "" where it is stated
	From     string                               // where the maker has it from, "" where that is not said
	Span     finding.Span                         // where it is stated; the zero Span where it is not
	Pair     *Pair                                // what a comparison compares, nil for others
}

// Known says whether there is a value: always of a Date and a Name, which are named only where they are stated.
func (v Value) Known() bool {
	return v.Form == FormDate || v.Form == FormName || v.Quantity.Known()
}

// Why says why there is no value, a sentence; "" where there is one.
func (v Value) Why() string {
	if v.Known() {
		return ""
	}
	return v.Quantity.Why()
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
	if v.Form == FormDate {
		return float64(v.Day.Time().Unix()) / secondsOfDay
	}
	if q, ok := v.Quantity.Get(); ok {
		return q.Value
	}
	return math.NaN()
}

const secondsOfDay = 86400

// Words says the value with its uncertainty, or why there is none.
func (v Value) Words() string {
	q, ok := v.Quantity.Get()
	if !ok && !v.Known() {
		return v.Why()
	}
	switch v.Form {
	case FormName:
		return v.Text[0]
	case FormDate:
		return v.Day.String()
	case FormPrice:
		return Money(q.Value, v.Currency)
	case FormCount:
		return strconv.FormatFloat(q.Value, 'f', -1, 64)
	case FormChange:
		if v.Currency != "" {
			return Money(q.Value, v.Currency)
		}
	case FormRatio:
		if !(q.U > 0) { // no uncertainty gives it a place
			q.U = math.NaN()
			q.Decimals = 3
		}
		return q.Rounded()
	}
	return q.Rounded()
}

// Money writes an amount of a currency, a code of ISO 4217, to the hundredth: "12.50 EUR".
func Money(x float64, currency string) string {
	return strings.TrimSpace(strconv.FormatFloat(x, 'f', 2, 64) + " " + currency)
}
