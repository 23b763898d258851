package notes

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Value is a scalar with a dimension, such as `23.1 V`, and where it stands.
// Unset it is missing: its Value is NaN.
type Value[K quantity.Kind] struct {
	quantity.Measured[K]
	Set     bool
	Span    finding.Span
	Written string // as the maker wrote it
}

// Known tells whether the maker stated the value.
func (v Value[K]) Known() bool { return v.Set && v.Measured.Known() }

// Stated gives the value with its uncertainty, missing if it was not written.
func (v Value[K]) Stated() quantity.Measured[K] {
	if !v.Set {
		return quantity.Missing[K]()
	}
	return v.Measured
}

// Word is a scalar that is free text.
type Word struct {
	Text string
	Set  bool
	Span finding.Span
}

// String gives the text, "" if it was not written.
func (w Word) String() string { return w.Text }

// Integer is a whole number without a unit.
type Integer struct {
	Value int
	Set   bool
	Span  finding.Span
}

// Or gives the value, or another where it was not written.
func (i Integer) Or(other int) int {
	if !i.Set {
		return other
	}
	return i.Value
}

// Decimal is a plain decimal number without a unit, such as a price. Text keeps
// the digits as written, so that `34.50` stays `34.50`.
type Decimal struct {
	Value float64
	Text  string
	Set   bool
	Span  finding.Span
}

// Date is a day of the calendar, written `2026-04-12` (ISO 8601).
type Date struct {
	Year  int
	Month time.Month
	Day   int
	Set   bool
	Span  finding.Span
}

// String gives the ISO 8601 form, "" if it was not written.
func (d Date) String() string {
	if !d.Set {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// Time gives the day's start in UTC, the zero time if it was not written.
func (d Date) Time() time.Time {
	if !d.Set {
		return time.Time{}
	}
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}

// The years of which a note can be: a slip in the others would put it before or behind all the rest.
const firstYear, lastYear = 1800, 2200

var errYear = fmt.Errorf("the day is not of the years %d to %d", firstYear, lastYear)

// ParseDate reads the ISO 8601 form of a day that the calendar has. Any other text is an error.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err == nil && (t.Year() < firstYear || t.Year() > lastYear) {
		err = errYear
	}
	if err != nil {
		return Date{}, err
	}
	return Date{Year: t.Year(), Month: t.Month(), Day: t.Day(), Set: true}, nil
}

// Range is a stretch of one dimension, such as `18 V to 32 V`.
type Range[K quantity.Kind] struct {
	From, To quantity.Measured[K]
	Set      bool
	Span     finding.Span
	Written  string
}

// Accuracy is an instrument's accuracy, such as `±(0.5 % + 2 digits)`.
type Accuracy struct {
	quantity.Accuracy
	Set     bool
	Span    finding.Span
	Written string
}

// Amount is a quantity whose dimension another key decides.
type Amount struct {
	quantity.Quantity
	Set  bool
	Span finding.Span
}

// Option is one word of an enumeration and what it means.
type Option struct{ Name, Meaning string }

// Enum is a type whose values are the words of one table.
type Enum interface {
	~string
	Options() []Option
}

// Choice is a scalar that is one word of an enumeration.
type Choice[E Enum] struct {
	Value E
	Set   bool
	Span  finding.Span
}

// Decodable is a type that fills itself from a node and reports what it cannot
// use; [Decode] calls it instead of going by the type's kind.
type Decodable interface {
	DecodeNode(n *Node, d *Decoder)
}

// DecodeNode reads a quantity of the dimension of K.
func (v *Value[K]) DecodeNode(n *Node, d *Decoder) {
	var k K
	q, ok := d.quantity(n, k.Dimension())
	if !ok {
		return
	}
	m, err := quantity.As[K](q)
	if err != nil {
		d.report(RuleNotAQuantity, n.Span, err.Error(), "")
		return
	}
	*v = Value[K]{Measured: m, Set: true, Span: n.Span, Written: n.Text}
}

func (v *Value[K]) clear() { *v = Value[K]{Measured: quantity.Missing[K]()} }

// DecodeNode reads free text. A number or a date is text too.
func (w *Word) DecodeNode(n *Node, d *Decoder) {
	if d.scalar(n, "text") {
		if strings.TrimSpace(n.Text) == "" {
			d.report(RuleEmptyValue, n.Span, fmt.Sprintf("%s is empty", d.name()), "write a text, or leave the key out.")
			return
		}
		if strings.ContainsFunc(n.Text, noText) { // written as an escape
			d.report(RuleYAMLFeature, n.Span, fmt.Sprintf("%s has a control character, which no page can show", d.name()), "take the escape out.")
			return
		}
		*w = Word{Text: n.Text, Set: true, Span: n.Span}
	}
}

// DecodeNode reads a whole number.
func (i *Integer) DecodeNode(n *Node, d *Decoder) {
	if !d.scalar(n, "a whole number such as 3") {
		return
	}
	v, err := strconv.ParseInt(n.Text, 10, 32)
	if err != nil {
		d.report(RuleNotANumber, n.Span, fmt.Sprintf("%s: %q is no whole number", d.name(), clip(n.Text)), "write a whole number without a unit, such as 3.")
		return
	}
	*i = Integer{Value: int(v), Set: true, Span: n.Span}
}

// maxDecimal is how many characters a price may have.
const maxDecimal = 32

// DecodeNode reads a plain decimal number.
func (v *Decimal) DecodeNode(n *Node, d *Decoder) {
	if !d.scalar(n, "a number such as 34.50") {
		return
	}
	text, ok, twice := plainDecimal(n.Text)
	f, err := strconv.ParseFloat(text, 64)
	if twice {
		d.report(RuleNotANumber, n.Span, fmt.Sprintf("%s: %s may be a thousand and more, or one and a part", d.name(), n.Text), "write "+strings.ReplaceAll(n.Text, ",", "")+" for the one, "+strings.ReplaceAll(n.Text, ",", ".")+" for the other.")
		return
	}
	if !ok || err != nil || len(n.Text) > maxDecimal {
		d.report(RuleNotANumber, n.Span, fmt.Sprintf("%s: %q is no plain decimal number", d.name(), clip(n.Text)), "write digits with a decimal point or comma and nothing else, such as 34.50 or \"34,50\"; a currency is stated by itself.")
		return
	}
	*v = Decimal{Value: f, Text: text, Set: true, Span: n.Span}
}

// DecodeNode reads a day.
func (v *Date) DecodeNode(n *Node, d *Decoder) {
	if !d.scalar(n, "a date such as 2026-04-12") {
		return
	}
	date, err := ParseDate(n.Text)
	if err != nil {
		what := "is no day of the calendar"
		if errors.Is(err, errYear) {
			what = fmt.Sprintf("is not of the years %d to %d", firstYear, lastYear)
		}
		d.report(RuleNotADate, n.Span, fmt.Sprintf("%s: %q %s", d.name(), clip(n.Text), what), "write year, month and day, such as 2026-04-12.")
		return
	}
	date.Span = n.Span
	*v = date
}

// DecodeNode reads two quantities of one dimension with `to` between them.
func (v *Range[K]) DecodeNode(n *Node, d *Decoder) {
	var k K
	if !d.scalar(n, "a range such as 18 V to 32 V") {
		return
	}
	low, high, found := strings.Cut(n.Text, " to ")
	if !found {
		d.report(RuleNotAQuantity, n.Span, fmt.Sprintf("%s: %q is no range", d.name(), clip(n.Text)), "write the lower and the upper end with `to` between them, such as 18 V to 32 V.")
		return
	}
	a, okA := d.parse(n, low, k.Dimension())
	b, okB := d.parse(n, high, k.Dimension())
	if !okA || !okB {
		return
	}
	from, errA := quantity.As[K](a)
	to, errB := quantity.As[K](b)
	if errA != nil || errB != nil {
		return
	}
	if from.Value > to.Value {
		d.report(RuleImpossibleValue, n.Span, fmt.Sprintf("%s: the lower end %s is above the upper end %s", d.name(), strings.TrimSpace(low), strings.TrimSpace(high)), "write the lower end first.")
		return
	}
	*v = Range[K]{From: from, To: to, Set: true, Span: n.Span, Written: n.Text}
}

func (v *Range[K]) clear() {
	*v = Range[K]{From: quantity.Missing[K](), To: quantity.Missing[K]()}
}

// DecodeNode reads an instrument's accuracy.
func (v *Accuracy) DecodeNode(n *Node, d *Decoder) {
	if !d.scalar(n, "an accuracy such as ±(0.5 % + 2 digits)") {
		return
	}
	a, err := quantity.ParseAccuracy(n.Text)
	if err != nil {
		d.parseError(n, n.Text, err, "±(0.5 % + 2 digits)")
		return
	}
	*v = Accuracy{Accuracy: a, Set: true, Span: n.Span, Written: n.Text}
}

// DecodeNode reads a quantity of any dimension.
func (v *Amount) DecodeNode(n *Node, d *Decoder) {
	if !d.scalar(n, "a quantity with its unit") {
		return
	}
	q, err := quantity.Parse(n.Text)
	if err != nil {
		d.parseError(n, n.Text, err, "0.01 V")
		return
	}
	*v = Amount{Quantity: q, Set: true, Span: n.Span}
}

// DecodeNode reads one word of the table.
func (c *Choice[E]) DecodeNode(n *Node, d *Decoder) {
	options := E("").Options()
	names := make([]string, len(options))
	for i, o := range options {
		names[i] = o.Name
	}
	if !d.scalar(n, "one of "+strings.Join(names, ", ")) {
		return
	}
	for _, name := range names {
		if n.Text == name {
			*c = Choice[E]{Value: E(name), Set: true, Span: n.Span}
			return
		}
	}
	d.report(RuleUnknownWord, n.Span, fmt.Sprintf("%s: unknown word `%s`%s", d.name(), clip(n.Text), DidYouMean(n.Text, names)),
		"write one of "+strings.Join(names, ", ")+".")
}

// Dimension is the dimension that the value must have.
func (*Value[K]) Dimension() quantity.Dimension {
	var k K
	return k.Dimension()
}

// Dimension is the dimension that both ends must have.
func (*Range[K]) Dimension() quantity.Dimension {
	var k K
	return k.Dimension()
}

// RangeEnds tells a range from a value.
func (*Range[K]) RangeEnds() {}

// Options lists the words that the choice is made from.
func (*Choice[E]) Options() []Option { return E("").Options() }

// AsWritten gives the value in the unit and to the place in which it is
// written; false where the maker stated none.
func (v *Value[K]) AsWritten() (quantity.Quantity, bool) {
	if !v.Known() {
		return quantity.Quantity{}, false
	}
	var k K
	q, err := quantity.ParseAs(v.Written, k.Dimension())
	if err != nil {
		return v.Quantity(), true
	}
	return q, true
}

// Ends gives both ends as quantities; false where the maker stated none.
func (v *Range[K]) Ends() (from, to quantity.Quantity, ok bool) {
	return v.From.Quantity(), v.To.Quantity(), v.Set
}

// Chosen gives the word and what it means; false where none was written.
func (c *Choice[E]) Chosen() (word, meaning string, ok bool) {
	for _, o := range E("").Options() {
		if o.Name == string(c.Value) {
			return o.Name, o.Meaning, c.Set
		}
	}
	return string(c.Value), "", c.Set
}
