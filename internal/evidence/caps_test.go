package evidence

import (
	"math"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

// amountsOf are amounts of every kind that has a tenth: in digits to every place, in words, of money, as factors and shares.
func amountsOf(t *testing.T) map[string]Subject {
	out := map[string]Subject{}
	of := func(against string, words ...string) {
		for _, w := range words {
			out[w] = subjectNamed(t, against)
		}
	}
	of("time", "1 h", "2 h", "47 min", "47.0 min", "2 h 7 min", "1 h 20", "10 s", "9 s", "1 d", "2:07:30", "an hour", "half an hour", "an hour and a half", "three quarters of an hour", "two hours", "twenty minutes", "an hour and ten", "five days", "a minute")
	of("voltage", "1 V", "3 V", "24.82 V", "0.2 V", "-0.5 V", "minus 2 V", "half a volt", "a tenth of a volt", "forty volts", "24-volt", "one point two volts", "20 V", "5 hundredths of a volt")
	of("current", "2 A", "40 A", "two amps", "12 mA")
	of("charge", "1 Ah", "1.24 Ah", "2,500 mAh")
	of("length", "1 km", "1 mi", "a mile", "a third of a mile", "1,330 m", "6 ft 2 in", "9 mm")
	of("mass", "1 kg", "half a kilo", "64 kg")
	of("share", "1 %", "4 %", "70 %", "half", "two thirds", "one in three")
	of("ratio of charge", "twice", "three times", "2.5 times", "1.4 times", "half", "two and a half times", "tenfold")
	of("price GBP", "£3", "£34.50", "two pounds", "50p")
	return out
}

// Whatever hedge stands about whatever amount: by itself it claims half a step and a tenth at most, with a hedge that
// says how near a fifth at most and never less than by itself; a hedge of one side lies on that side; a bound begins or
// ends at the amount.
func TestNoHedgeClaimsMoreThanItsShare(t *testing.T) {
	tried, closed := 0, map[string]int{}
	for words, s := range amountsOf(t) {
		plain, err := Read(words, s)
		if err != nil {
			t.Errorf("%q: %v", words, err)
			continue
		}
		x := plain.worded.amount.value
		if plain.High-x > 0.1*math.Abs(x)*(1+1e-9) || x-plain.Low > 0.1*math.Abs(x)*(1+1e-9) {
			t.Errorf("%q claims %g to %g, more than a tenth of %g", words, plain.Low, plain.High, x)
		}
		if step := plain.worded.amount.step; plain.High-x > step/2*(1+1e-9) {
			t.Errorf("%q claims more than half of its step %g", words, step)
		}
		for _, h := range hedges {
			if h.dates {
				continue
			}
			var all []string
			for _, w := range h.before {
				all = append(all, w+" "+words)
			}
			for _, w := range h.after {
				all = append(all, words+" "+w)
			}
			for _, said := range all {
				c, err := Read(said, s)
				if err != nil {
					continue // no wording of that amount: "a good half"
				}
				tried++
				a := c.worded.amount
				if a.value != x {
					if h.name == "under" && s.Form == Ratio {
						continue // within half is said of how far two are apart
					}
					if words[:2] != "a " && words[:2] != "an" {
						t.Errorf("%q is read of %g, and %q of %g", said, a.value, words, x)
					}
					continue
				}
				share := func(end float64) float64 { return math.Abs(end-x) / math.Abs(x) }
				low, high := c.Low, c.High
				if x < 0 {
					continue // sides turn about; the shares of a negative amount are tried below
				}
				if !math.IsInf(low, 0) && share(low) > 0.2*(1+1e-9) || !math.IsInf(high, 0) && share(high) > 0.2*(1+1e-9) {
					t.Errorf("%q claims %g to %g, more than a fifth from %g", said, low, high, x)
				}
				switch h.name {
				case "plain":
					if low != plain.Low || high != plain.High {
						t.Errorf("%q claims %g to %g, by itself %g to %g", said, low, high, plain.Low, plain.High)
					}
				case "about":
					if low > plain.Low || high < plain.High {
						t.Errorf("%q claims less than without its hedge", said)
					}
				case "nearly", "best part":
					if high != x || !c.HighOpen || low >= x || math.IsInf(low, 0) {
						t.Errorf("%q claims %g to %g", said, low, high)
					}
				case "just over", "odd":
					if low != x || !c.LowOpen || high <= x || math.IsInf(high, 0) {
						t.Errorf("%q claims %g to %g", said, low, high)
					}
				case "over", "well over", "at least":
					if low < x || !math.IsInf(high, 1) {
						t.Errorf("%q claims %g to %g", said, low, high)
					}
				case "under", "well under", "at most":
					if high > x || !math.IsInf(low, -1) {
						t.Errorf("%q claims %g to %g", said, low, high)
					}
				default:
					t.Errorf("nothing is known of the hedge %q", h.name)
				}
				closed[h.name]++
			}
		}
	}
	t.Logf("%d hedged amounts: %v", tried, closed)
	for _, h := range hedges {
		if !h.dates && closed[h.name] < 20 {
			t.Errorf("the hedge %q was tried %d times", h.name, closed[h.name])
		}
	}
}

// Negative amounts have the same shares.
func TestCapsOfNegativeAmounts(t *testing.T) {
	s := subjectNamed(t, "voltage")
	for words, want := range map[string][2]float64{"-1 V": {-1.1, -0.9}, "about -1 V": {-1.2, -0.8}, "about -20 V": {-22, -18}, "minus half a volt": {-0.55, -0.45}} {
		c, err := Read(words, s)
		if err != nil || math.Abs(c.Low-want[0]) > 1e-9 || math.Abs(c.High-want[1]) > 1e-9 {
			t.Errorf("%q claims %g to %g (%v), want %v", words, c.Low, c.High, err, want)
		}
	}
}

// A hedge outside the brackets counts as one inside them, where it can only be said of the amount.
func TestHedgeOutsideTheBrackets(t *testing.T) {
	minutes := func(v float64) quantity.Quantity {
		return quantity.Quantity{Dimension: quantity.Time, Value: 60 * v, U: 1, Decimals: -1}
	}
	measured, stated := value.Measured, value.Quoted
	for _, tt := range []struct {
		text  string
		is    float64 // in minutes
		of    value.Kind
		wrong bool
	}{
		{"It ran for about [47 min](value:x).", 50, measured, false},
		{"It ran for about [47 min](value:x).", 52, measured, true},
		{"It ran for *about* [47 min](value:x).", 50, measured, false},
		{"It ran for **about [47 min](value:x)**.", 50, measured, false},
		{"It ran for *roughly* **[47 min](value:x)**.", 50, measured, false},
		{"It ran for [47 min](value:x) or so.", 50, measured, false},
		{"It ran for [47 min](value:x) or so, and stopped.", 50, measured, false},
		{"It ran for [47 min](value:x) *or so*.", 50, measured, false},
		{"It ran for [47 min](value:x), give or take.", 50, measured, false},
		{"It ran for\nabout\n[47 min](value:x).", 50, measured, false},
		{"It ran about. [47 min](value:x) is good.", 50, measured, true},
		{"It ran about the yard. It took [47 min](value:x).", 50, measured, true},
		{"It ran for about [3 h](value:y), and [47 min](value:x) later stopped.", 50, measured, true},
		{"It ran for nearly [50 min](value:x).", 47, measured, false},
		{"It ran for nearly [50 min](value:x).", 50.2, measured, true},
		{"It ran for nearly [50 min](value:x).", 40, measured, true},
		{"It came to nearly [50 min](value:x).", 50.2, stated, false},
		{"It ran for just over [50 min](value:x).", 52, measured, false},
		{"It ran for more than [50 min](value:x).", 70, measured, false},
		{"It ran for more than [50 min](value:x).", 50.2, measured, false},
		{"It ran for more than [50 min](value:x).", 49.2, measured, true},
		{"It must run for more than [50 min](value:x).", 70, stated, true},
		{"It ran for [50 min](value:x) at least.", 70, measured, false},
		{"It never ran less than [50 min](value:x).", 50.2, measured, false},
		{"It went 3 km over [50 min](value:x).", 70, measured, true},
		{"It stopped after [50 min](value:x).", 70, measured, true},
		{"It ran for well over [50 min](value:x).", 70, measured, false},
		{"It ran for well over [50 min](value:x).", 51, measured, true},
		{"It ran for about [50 min or more](value:x).", 70, measured, false},
		{"It ran for only [50 min](value:x).", 50.3, measured, false},
		{"A roundabout [50 min](value:x).", 54, measured, true},
	} {
		var found finding.List
		d := notes.Parse(notes.ParseNote("a/b/x.md", []byte("---\nkind: note\n---\n\n"+tt.text+"\n"), &found))
		e := d.Embeds[len(d.Embeds)-1]
		v := figure(minutes(tt.is), "")
		v.Kind = tt.of
		if got := judge(e, v, "en"); (len(got) > 0) != tt.wrong {
			t.Errorf("%q of %g min (%s): %v", tt.text, tt.is, tt.of, got)
		} else if tt.wrong && (got[0].Rule != falseStatement.Name || got[0].Text == "") {
			t.Errorf("%q: %s", tt.text, got[0].Rule)
		}
	}
}

// What a comparison compares may stand outside as well.
func TestComparisonOutsideTheBrackets(t *testing.T) {
	for text, ratio := range map[string]float64{"It ran [40 %](value:x) longer.": 1.4, "It ran [a third](value:x) longer than before.": 1.33, "It ran [twice](value:x) as long.": 2, "It ran [half](value:x) as long again.": 1.5, "It has [70 %](value:x) of it.": 0.7} {
		var found finding.List
		d := notes.Parse(notes.ParseNote("a/b/x.md", []byte("---\nkind: note\n---\n\n"+text+"\n"), &found))
		one := figure(quantity.Quantity{Dimension: quantity.Time, Value: 60, Decimals: -1}, "")
		v := value.Value{Form: value.FormRatio, Kind: value.Computed, Quantity: quantity.Some(quantity.Quantity{Value: ratio, U: math.NaN(), Decimals: 3}), Pair: &value.Pair{First: one, Second: one, By: "over"}}
		if got := judge(d.Embeds[0], v, "en"); len(got) > 0 {
			t.Errorf("%q of %g: %s", text, ratio, got[0].Text)
		}
		v.Quantity = quantity.Some(quantity.Quantity{Value: 1.1, U: math.NaN(), Decimals: 3})
		if got := judge(d.Embeds[0], v, "en"); len(got) == 0 {
			t.Errorf("%q holds of 1.1", text)
		}
	}
}
