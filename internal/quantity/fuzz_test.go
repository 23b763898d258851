package quantity

import (
	"errors"
	"testing"
)

// FuzzParse: no text makes it panic; what parses prints and parses back to the
// same dimension and, bit for bit, the same value and uncertainty; and printing
// is settled after once. Rounding, too, is settled after once.
func FuzzParse(f *testing.F) {
	for _, u := range Units() {
		f.Add("12.7 " + u.Symbol)
	}
	for _, text := range []string{
		"2 h 7 min 30.5 s", "2:07:30.5", "7:30", "-1:00", "1 d 2 h", "(23.14 ± 0.06) V", "20 °C ± 0.5 K",
		"0 °F", "1e300 V", "1e-300 mi", "5e-324 mph", "4/0 AWG", "-0 V", "23,1 V", "1e308 hp", "(1 ± 1e300) V",
		"1 h 41 min ± 2 min", "0.1 d", "12\u202f000 m", "9 mph ± 1 km/h", "-273.15 °C ± 100 K", "99.99 s ± 53 s",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := Parse(text)
		if err != nil {
			var pe *ParseError
			if !errors.As(err, &pe) || pe.Offset < 0 || pe.Offset > len(text) || pe.Reason == "" {
				t.Fatalf("%q: bad error %#v", text, err)
			}
			return
		}
		if !finite(q.Value) || !finite(q.U) || q.U < 0 {
			t.Fatalf("%q gives %#v", text, q)
		}
		printed := q.String()
		back, err := Parse(printed)
		if err != nil {
			t.Fatalf("%q prints %q, which is no value: %v", text, printed, err)
		}
		if back.Dimension != q.Dimension || back.Value != q.Value || back.U != q.U {
			t.Fatalf("%q prints %q: %#v became %#v", text, printed, q, back)
		}
		if again := back.String(); again != printed {
			t.Fatalf("%q prints %q and then %q", text, printed, again)
		}
		rounded := q.Rounded()
		back, err = ParseAs(rounded, q.Dimension)
		if err != nil {
			if q.Dimension == Temperature { // rounding may go below absolute zero
				return
			}
			t.Fatalf("%q rounds to %q, which is no value: %v", text, rounded, err)
		}
		if again := back.Rounded(); again != rounded {
			t.Fatalf("%q rounds to %q and then %q", text, rounded, again)
		}
		q.Customary()
		q.Metric()
	})
}

// FuzzParseAccuracy: no text makes it panic, and what parses prints and parses
// back to the same.
func FuzzParseAccuracy(f *testing.F) {
	for _, text := range []string{"±(0.5 % + 2 digits)", "±0.5 %", "±2 dgt", "+/- 0.05 V", "±(0.8 % + 0.02 V)", "±1 °F", "±(1 % rdg + 3 counts + 2 mV)", "±12 AWG"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := ParseAccuracy(text)
		if err != nil {
			var pe *ParseError
			if !errors.As(err, &pe) || pe.Offset < 0 || pe.Offset > len(text) {
				t.Fatalf("%q: bad error %#v", text, err)
			}
			return
		}
		back, err := ParseAccuracy(a.String())
		if err != nil || back.Fraction != a.Fraction || back.Digits != a.Digits || back.Absolute.Value != a.Absolute.Value {
			t.Fatalf("%q prints %q and comes back as %+v (%v)", text, a, back, err)
		}
	})
}
