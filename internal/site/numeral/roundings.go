package numeral

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

// TwoFigures is how many decimals a number has that is given with two figures.
func TwoFigures(x float64) int {
	if x <= 0 {
		return 0
	}
	return max(0, 1-int(math.Floor(math.Log10(x))))
}

// TwoFigured is a whole number with two figures, "3500".
func TwoFigured(x float64) string {
	if x > 0 {
		scale := math.Pow(10, math.Floor(math.Log10(x))-1)
		x = math.Round(x/scale) * scale
	}
	return strconv.FormatFloat(x, 'f', 0, 64)
}

// Tens is a time to ten minutes: a rule of thumb says no more.
func Tens(t quantity.Seconds) string {
	return quantity.Clock(quantity.Seconds(math.Round(float64(t)/600)*600), 60)
}

// Millimetres is a length in whole millimetres, or with the decimals that it has.
func Millimetres(l quantity.Metres, k Kind) Numeral {
	mm := math.Round(float64(l)*1e4) / 10
	text := strconv.FormatFloat(mm, 'f', -1, 64)
	n := Numeral{Kind: k, Whole: text + " mm", Unit: "mm", Set: true}
	n.Int, n.Frac = split(text)
	return n
}

// Metres is a length to the millimetre.
func Metres(l quantity.Metres) Numeral {
	return lengthText(fmt.Sprintf("%.3f", float64(l)))
}

// MetresUp is a length to buy, rounded up to the centimetre.
func MetresUp(l quantity.Metres) Numeral {
	return lengthText(fmt.Sprintf("%.2f", math.Ceil(float64(l)*100-1e-6)/100))
}

func lengthText(text string) Numeral {
	n := Numeral{Kind: Computed, Whole: text + " m", Unit: "m", Set: true}
	n.Int, n.Frac = split(text)
	return n
}

// FigureKind is the kind of number that a figure of a run is, by its name.
func FigureKind(name string) Kind { return Kind(value.KindOf(name)) }

// Signed is a part as a percentage with its sign.
func Signed(x float64, href string) Numeral {
	if math.IsNaN(x) {
		return Numeral{}
	}
	text := OnPage(fmt.Sprintf("%+.1f", 100*x))
	return Numeral{Kind: Computed, Whole: text + " %", Int: text, Unit: "%", Href: href, Set: true}
}

// CellVolts is a difference of voltage of one cell, in millivolts.
func CellVolts(v quantity.Volts, href string) Numeral {
	if math.IsNaN(float64(v)) {
		return Numeral{}
	}
	text := fmt.Sprintf("%.0f", 1000*float64(v))
	return Numeral{Kind: Computed, Whole: text + " mV a cell", Int: text, Unit: "mV", Href: href, Set: true}
}

// MidSentence takes the capital from words that begin a sentence elsewhere.
func MidSentence(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// ClockOf is a time without uncertainty, to the second under an hour and to the minute above.
func ClockOf(t quantity.Seconds, k Kind, href string) Numeral {
	if math.IsNaN(float64(t)) {
		return Numeral{}
	}
	step := quantity.Seconds(1)
	if t >= 3600 {
		step = 60
	}
	text := quantity.Clock(t, step)
	return Numeral{Kind: k, Whole: text, Int: text, Href: href, Set: true}
}

// Rough is a value without its uncertainty, to three figures in the unit in which it is printed.
func Rough[K quantity.Kind](v K, k Kind, href string) Numeral {
	x := float64(v)
	if math.IsNaN(x) {
		return Numeral{}
	}
	q := quantity.Exact(v).Quantity()
	if x == 0 {
		return Printed(q, k, href)
	}
	parts := q.Parts()
	if in, err := strconv.ParseFloat(parts.Value, 64); err == nil && in != 0 {
		x = in
	}
	q.Unit, q.Decimals = parts.Unit, max(0, 2-int(math.Floor(math.Log10(math.Abs(x)))))
	return Printed(q, k, href)
}

// Sentenceless begins with a capital and ends without a full stop, as a head of a table does.
func Sentenceless(text string) string { return strings.TrimSuffix(Sentence(text), ".") }

// AfterComma is what stands after the last comma: "20 Ah" of "half as large, 20 Ah".
func AfterComma(text string) string { return text[strings.LastIndex(text, ", ")+1:] }

// StatedRange is a range of the front matter; not Set where it was not written.
func StatedRange[K quantity.Kind](r notes.Range[K]) Numeral {
	if !r.Set {
		return Numeral{}
	}
	n := Words(r.From.Quantity().Rounded() + " to " + r.To.Quantity().Rounded())
	n.Kind = Quoted
	return n
}

// ComputedValue is a value that was computed from stated ones, to three figures; what is nothing but rounding is zero.
func ComputedValue[K quantity.Kind](v K) Numeral {
	if math.Abs(float64(v)) < 1e-9 {
		v = 0
	}
	return Printed(Figures(quantity.Exact(v).Quantity(), Fewest), Computed, "")
}

// Figures gives a value as many decimals as make so many figures.
func Figures(q quantity.Quantity, n int) quantity.Quantity {
	parts := q.Parts()
	v, err := strconv.ParseFloat(parts.Value, 64)
	if err != nil || v == 0 {
		return q
	}
	q.Unit, q.Decimals = parts.Unit, max(0, n-1-int(math.Floor(math.Log10(math.Abs(v)))))
	return q
}

// InUnit is a computed value in a given unit, with the decimals that a column has.
func InUnit(v float64, decimals int, unit string) Numeral {
	if math.IsNaN(v) {
		return Numeral{}
	}
	text := OnPage(strconv.FormatFloat(v, 'f', decimals, 64))
	if strings.Trim(text, "−0.") == "" {
		text = strings.TrimPrefix(text, "−")
	}
	n := Numeral{Kind: Computed, Whole: text + " " + unit, Unit: unit, Set: true}
	n.Int, n.Frac = split(text)
	return n
}

// PercentOf is a share as a percentage.
func PercentOf(x float64) Numeral {
	decimals := 1
	if math.Abs(x) < 0.01 {
		decimals = 2
	}
	return InUnit(100*x, decimals, "%")
}
