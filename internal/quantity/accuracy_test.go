package quantity

import (
	"math"
	"strings"
	"testing"
)

// TestAccuracyStandard: JCGM 100:2008, 4.3.7, u = a/√3 for a rectangular
// distribution of half width a. The figures were computed from that, apart
// from this package.
func TestAccuracyStandard(t *testing.T) {
	tests := []struct {
		text                string
		reading, resolution float64
		limit, u            float64
	}{
		{"±(0.5 % + 2 digits)", 12.34, 0.01, 0.0817, 0.047170},
		{"±(0.5 % + 2 digits)", 3.700, 0.001, 0.0205, 0.011836},
		{"±(0.8 % + 2 digits)", 10.00, 0.01, 0.1000, 0.057735},
		{"±(0.08 % + 2 digits)", 2.000, 0.001, 0.0036, 0.002078},
		{"±(0.5 % + 2 digits)", -12.34, 0.01, 0.0817, 0.047170}, // by the amount of the reading
		{"±0.5 %", 10, math.NaN(), 0.05, 0.028868},
		{"±2 digits", 10, 0.01, 0.02, 0.011547},
		{"±0.05 V", 10, math.NaN(), 0.05, 0.028868},
		{"±(0.8 % + 0.02 V)", 10, math.NaN(), 0.1, 0.057735},
		{"±1 °C", 20, 0.1, 1, 0.577350},
		{"±1.8 °F", 20, 0.1, 1, 0.577350},
	}
	for _, tt := range tests {
		a, err := ParseAccuracy(tt.text)
		if err != nil {
			t.Errorf("%s: %v", tt.text, err)
			continue
		}
		if got := a.Limit(tt.reading, tt.resolution); !near(got, tt.limit, 1e-12) {
			t.Errorf("%s of %v: limit %v, want %v", tt.text, tt.reading, got, tt.limit)
		}
		if got := a.Standard(tt.reading, tt.resolution); math.Abs(got-tt.u) > 0.5e-6 {
			t.Errorf("%s of %v: u = %.7f, want %v", tt.text, tt.reading, got, tt.u)
		}
	}
}

func TestParseAccuracy(t *testing.T) {
	volts := func(x float64) Quantity { return Quantity{Dimension: Voltage, Value: x, Unit: "V", Decimals: 2} }
	tests := []struct {
		text   string
		want   Accuracy
		prints string
	}{
		{"±(0.5 % + 2 digits)", Accuracy{Fraction: 0.005, Digits: 2}, "±(0.5 % + 2 digits)"},
		{"± (0.5% + 2 dgt)", Accuracy{Fraction: 0.005, Digits: 2}, "±(0.5 % + 2 digits)"},
		{"+/-(0.5 % rdg + 2 counts)", Accuracy{Fraction: 0.005, Digits: 2}, "±(0.5 % + 2 digits)"},
		{"±(0.5 % of reading + 1 digit)", Accuracy{Fraction: 0.005, Digits: 1}, "±(0.5 % + 1 digit)"},
		{"±0.5 % + 2 digits", Accuracy{Fraction: 0.005, Digits: 2}, "±(0.5 % + 2 digits)"},
		{"±(2 digits + 0.5 %)", Accuracy{Fraction: 0.005, Digits: 2}, "±(0.5 % + 2 digits)"},
		{"±0.5 %", Accuracy{Fraction: 0.005}, "±0.5 %"},
		{"±2 Digits", Accuracy{Digits: 2}, "±2 digits"},
		{"±0.05 V", Accuracy{Absolute: volts(0.05)}, "±0.05 V"},
		{"±(0.8 % + 0.02 V)", Accuracy{Fraction: 0.008, Absolute: volts(0.02)}, "±(0.8 % + 0.02 V)"},
		{"±(0.8 % + 0.02 V + 3 digits)", Accuracy{0.008, 3, volts(0.02)}, "±(0.8 % + 0.02 V + 3 digits)"},
	}
	for _, tt := range tests {
		a, err := ParseAccuracy(tt.text)
		if err != nil || a != tt.want || a.String() != tt.prints {
			t.Errorf("%q: got %+v (%v), prints %q, want %+v", tt.text, a, err, a, tt.want)
		}
	}
	errors := map[string]string{
		"0.5 %":                  `"0.5 %" is no accuracy; ` + accuracyExample,
		"":                       `"" is no accuracy; ` + accuracyExample,
		"±":                      `"±" is no accuracy; ` + accuracyExample,
		"±(0.5 %":                "the bracket is not closed; " + accuracyExample,
		"±(0,5 % + 2 digits)":    "0,5 has a decimal comma; write it with a point: 0.5",
		"±2":                     "2 has no unit; write digits for counts of the last digit",
		"±-2 digits":             "an accuracy is not negative",
		"±1 % of range":          "a share of the range is not read, since the range is not written here; write the amount, as in ±0.05 V",
		"±(0.5 % + )":            `"" does not begin with a number; ` + accuracyExample,
		"±(0.5 % + 1 %)":         "the share of the reading stands twice or is out of range",
		"±(1 mV + 2 mV)":         "the fixed amount stands twice",
		"±1 V±0 V":               "an accuracy has one ± sign, at its beginning; " + accuracyExample,
		"±5 ‰":                   "a share is written in %; " + accuracyExample,
		"±5 mv":                  `"mv" is not a known unit; the nearest is mV`,
		"±(1 digit + 2 counts)":  "the digits stand twice or are out of range",
		"±(0.5 % + some digits)": `"some digits" does not begin with a number; ` + accuracyExample,
	}
	for text, want := range errors {
		if a, err := ParseAccuracy(text); err == nil || err.Error() != want {
			t.Errorf("%q: got %+v and %v, want %s", text, a, err, want)
		}
	}
	_, err := ParseAccuracy("±(0.5 % + 5 mv)") // what is wrong of a term stands where it is in the whole
	if e, ok := err.(*ParseError); !ok || e.Text != "±(0.5 % + 5 mv)" || !strings.HasPrefix(e.Text[e.Offset:], "mv") {
		t.Errorf("the unknown unit is at %+v", err)
	}
}
