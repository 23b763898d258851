package quantity_test

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// What is read of several hundred spellings and how it is written again, beside each: testdata/kept.txt, which was read.
// It is a net beside the checks against standards; VOLTWRIGHT_UPDATE=1 writes it anew: read the difference.
func TestKept(t *testing.T) {
	recorded.Beside(t, "testdata/kept.txt", readAgain)
}

// readAgain reads a line, "range 3 to 5 V", "accuracy ±(1 % + 2 digits)", "clock 59.5 1" or a quantity.
func readAgain(line string) string {
	what, rest, _ := strings.Cut(line, " ")
	switch what {
	case "range":
		low, high, err := quantity.ParseRange(rest, quantity.Voltage)
		if err != nil {
			return at(err)
		}
		return fmt.Sprintf("%s and %s", exactly(low), exactly(high))
	case "accuracy":
		a, err := quantity.ParseAccuracy(rest)
		if err != nil {
			return at(err)
		}
		return fmt.Sprintf("%+v", a)
	case "clock":
		var s, to float64
		if _, err := fmt.Sscan(rest, &s, &to); err != nil {
			return err.Error()
		}
		return quantity.Clock(quantity.Seconds(s), quantity.Seconds(to))
	case "figures":
		var x float64
		if _, err := fmt.Sscan(rest, &x); err != nil {
			return err.Error()
		}
		return fmt.Sprint(quantity.Figures(x, 1), " ", quantity.Figures(x, 2), " ", quantity.Figures(x, 3), " ", quantity.Figures(x, 4), "; ", quantity.Brief(quantity.Volts(x)), " ", quantity.Rough(quantity.Amperes(x)), " ", quantity.Brief(quantity.Seconds(x)), " ", quantity.Brief(quantity.SquareMillimetres(x)))
	}
	if what == "in" {
		return inEveryUnit(rest)
	}
	q, err := quantity.Parse(line)
	matches := map[bool]string{true: "", false: "; no match of the pattern"}[pattern.MatchString(line)]
	if err != nil {
		return at(err) + matches
	}
	words := exactly(q) + matches + "; written " + q.String() + "; rounded " + q.Rounded()
	if place, ok := q.LastPlace(); ok {
		words += fmt.Sprintf("; last place %.6g", place)
	}
	if twin, ok := q.Customary(); ok {
		words += "; customary " + twin.Rounded()
	}
	if twin, ok := q.Metric(); ok {
		words += "; metric " + twin.Rounded()
	}
	for _, u := range []float64{0.0123, 0.31} { // as if it were known so well
		q.U = math.Abs(q.Value)*u + u/100
		words += "; ± " + q.Rounded()
	}
	return words
}

func exactly(q quantity.Quantity) string {
	return fmt.Sprintf("%s %.12g in %q, %d places, u %.6g", q.Dimension, q.Value, q.Unit, q.Decimals, q.U)
}

var pattern = regexp.MustCompile(quantity.AmountPattern())

// inEveryUnit writes a quantity in each unit of its dimension, with the unit's own base and back.
func inEveryUnit(text string) string {
	q, err := quantity.Parse(text)
	if err != nil {
		return "refused: " + err.Error()
	}
	words := "by its size " + quantity.ColumnUnit(q)
	for _, u := range append(quantity.Units(), quantity.UnitDoc{}, quantity.UnitDoc{Symbol: "h min", Dimension: quantity.Time}, quantity.UnitDoc{Symbol: "h min s", Dimension: quantity.Time}) {
		if u.Dimension != q.Dimension && u.Symbol != "" {
			continue
		}
		in, err := q.In(u.Symbol)
		if err != nil {
			words += "; " + err.Error()
			continue
		}
		words += "; " + in.String() + " " + strconv.Itoa(in.Decimals)
		if unit, ok := quantity.FindUnit(u.Symbol); ok {
			words += fmt.Sprintf(" = %.9g = %.9g", unit.Base(1.5), unit.Number(q.Value))
		}
	}
	if _, err := q.In("lightyears"); err != nil {
		words += "; " + err.Error()
	}
	if parts, err := q.PartsIn("V"); err != nil {
		words += "; " + err.Error()
	} else {
		words += "; " + parts.String()
	}
	return words
}

// A divisor of zero gives no value, whatever is divided.
func TestNothingOverZero(t *testing.T) {
	for _, v := range []quantity.Volts{0, 5, -5} {
		r := quantity.Quotient(quantity.Exact(v), quantity.Exact(quantity.Amperes(0)), quantity.ResistanceFrom)
		if r.Known() || !math.IsNaN(float64(r.Value)) || !math.IsNaN(float64(r.U)) {
			t.Errorf("%v V over nothing: %+v", v, r)
		}
	}
}

// at is why something is refused, and where.
func at(err error) string {
	out := "refused: " + err.Error()
	if where := (*quantity.ParseError)(nil); errors.As(err, &where) {
		out += fmt.Sprintf(" (at %d of %d)", where.Offset, len(where.Text))
	}
	return out
}

// What has no value is printed as none, whatever is asked of it.
func TestNoValueIsNone(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		q := quantity.Quantity{Dimension: quantity.Voltage, Value: x, Unit: "V"}
		for _, got := range []string{q.String(), q.Rounded(), q.Parts().Value} {
			if got != "no value" {
				t.Errorf("%v is %q", x, got)
			}
		}
	}
}

// The patterns that editors are given are what they were, each by its check sum, as they are long; what they match is held
// to the parser elsewhere.
func TestPatternsAreKept(t *testing.T) {
	var b strings.Builder
	sum := func(pattern string) string {
		return fmt.Sprintf("%x of %d characters", sha256.Sum256([]byte(pattern)), len(pattern))
	}
	fmt.Fprintf(&b, "any %s\naccuracy %s\n", sum(quantity.AmountPattern()), sum(quantity.AccuracyPattern()))
	for _, u := range quantity.Units() {
		if line := fmt.Sprintf("%s %s\nrange %s\n", u.Dimension, sum(quantity.Pattern(u.Dimension)), sum(quantity.RangePattern(u.Dimension))); !strings.Contains(b.String(), line) {
			b.WriteString(line)
		}
	}
	recorded.Text(t, "testdata/patterns.txt", b.String())
}
