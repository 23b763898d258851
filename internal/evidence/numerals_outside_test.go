package evidence

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// spelled writes a whole number below ten thousand as English does: "two thousand three hundred and forty-five". Written apart from
// what reads it, by the rules of a school grammar: from memory.
func spelled(n int, hyphen string) string {
	ones := strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen")
	tens := strings.Fields("zero ten twenty thirty forty fifty sixty seventy eighty ninety")
	and := func(rest int) string {
		switch {
		case rest == 0:
			return ""
		case rest < 100:
			return " and " + spelled(rest, hyphen)
		}
		return " " + spelled(rest, hyphen)
	}
	switch {
	case n >= 1000:
		return spelled(n/1000, hyphen) + " thousand" + and(n%1000)
	case n >= 100:
		return spelled(n/100, hyphen) + " hundred" + and(n%100)
	case n < 20:
		return ones[n]
	case n%10 == 0:
		return tens[n/10]
	}
	return tens[n/10] + hyphen + ones[n%10]
}

// Every number below ten thousand is read as it is spelled, to its end and no further.
func TestNumbersAreReadAsTheyAreSpelled(t *testing.T) {
	for n := 1; n < 10_000; n++ {
		a := strings.TrimPrefix(spelled(n, "-"), "one ")
		if a != spelled(n, "-") {
			a = "a " + a
		}
		for _, words := range []string{spelled(n, "-"), spelled(n, " "), strings.ToUpper(spelled(n, "-")), a} {
			for _, behind := range []string{"", " volts", " and volts", " seven", " ten", " thousandth", " hundredths of a volt"} {
				if n%1000 != 345 && n > 130 && behind != "" { // what follows is told by the last words alone
					continue
				}
				tokens := tokensOf(words + behind)
				goesOn := behind == " seven" && (n%100 == 0 || n%10 == 0 && n%100 > 10) || behind == " ten" && n%100 == 0
				if got, used := wholeWords(tokens); !goesOn && (got != n || used != len(tokensOf(words))) {
					t.Fatalf("%q: %d in %d words, want %d in %d", words+behind, got, used, n, len(tokensOf(words)))
				}
			}
		}
		if n < 100 && inWords(n) != spelled(n, "-") {
			t.Errorf("%d is written %q, want %q", n, inWords(n), spelled(n, "-"))
		}
	}
	for _, n := range []int{100, 345, 9999} {
		if got := inWords(n); got != fmt.Sprint(n) {
			t.Errorf("%d is written %q", n, got)
		}
	}
	for words, want := range map[string][2]int{"a dozen": {0, 0}, "dozen": {12, 1}, "two dozen bolts": {24, 2}, "three score": {3, 1}, "twenty thirty": {20, 1}, "twenty twelve": {20, 1}, "nine nine": {9, 1},
		"hundred": {0, 0}, "hundred hundred": {0, 0}, "two hundred hundred": {200, 2}, "two thousand thousand": {2000, 2}, "hundred and two": {0, 0}, "seven and two": {7, 1}, "one hundred and": {100, 2}, "one hundred and a half": {100, 2},
		"a": {0, 0}, "a volt": {0, 0}, "12 volts": {12, 1}, "+12": {0, 0}, "-3": {0, 0}, "0": {0, 1}, "": {0, 0}, "two and hundred": {2, 1}, "two thousand dozen": {2000, 2}} {
		if got, used := wholeWords(tokensOf(words)); got != want[0] || used != want[1] {
			t.Errorf("%q: %d in %d words, want %d in %d", words, got, used, want[0], want[1])
		}
	}
}

// parts are parts of one and how they are said.
var saidParts = []struct {
	words    string
	num, den int
}{{"half", 1, 2}, {"a third", 1, 3}, {"two thirds", 2, 3}, {"a quarter", 1, 4}, {"three quarters", 3, 4}, {"a fifth", 1, 5}, {"four fifths", 4, 5}, {"a sixth", 1, 6}, {"five sixths", 5, 6},
	{"three sevenths", 3, 7}, {"an eighth", 1, 8}, {"seven eighths", 7, 8}, {"two ninths", 2, 9}, {"a tenth", 1, 10}, {"nine tenths", 9, 10}, {"eleven twelfths", 11, 12}, {"twenty-one hundredths", 21, 100}}

// An amount in words is the sum of what it names, counted in the smallest part that it names, and its number and unit are told from
// the sentence around it to the letter. What is said of another value in its manner is that value to that part.
func TestAmountsInWordsAddUp(t *testing.T) {
	units := []struct {
		one, many, article string
		base               float64
		d                  quantity.Dimension
	}{{"hour", "hours", "an", 3600, quantity.Time}, {"minute", "minutes", "a", 60, quantity.Time}, {"volt", "volts", "a", 1, quantity.Voltage}, {"mile", "miles", "a", 1609.344, quantity.Length}, {"amp", "amps", "an", 1, quantity.Current}, {"pound", "pounds", "a", 0.45359237, quantity.Mass}}
	for _, u := range units {
		check := func(words string, n float64, den int) {
			t.Helper()
			a, err := amountOf(words, Subject{Form: Number, Dimension: u.d})
			step := u.base / float64(den)
			if err != nil || math.Abs(a.value-n*u.base) > 1e-9*u.base*max(1, n) || math.Abs(a.step-step) > 1e-9*step || math.Abs(a.half-min(step/2, a.value/10)) > 1e-9*step {
				t.Errorf("%q: %v in steps of %v, %v either way, %v", words, a.value, a.step, a.half, err)
				return
			}
			for _, x := range []float64{n, n + 1.3/float64(den), 2*n + 0.6, 7.25} {
				again := a.write(x*u.base, math.Round)
				b, err := amountOf(again, Subject{Form: Number, Dimension: u.d})
				if want := math.Round(x*float64(den)) * step; err != nil || math.Abs(b.value-want) > 1e-9*max(want, 1) {
					t.Errorf("%q of %v: %q, %v, want %v (%v)", words, x*u.base, again, b.value, want, err)
				}
			}
			if again := a.write(0.2*step, math.Round); again != "" {
				t.Errorf("%q of nothing: %q", words, again)
			}
			if u.one == "pound" && den == 1 {
				return // money as well
			}
			for _, around := range [][2]string{{"It took ", " today."}, {"(", ")"}, {"", ", no more"}, {"It gave ", ""}} {
				if got := numberWithUnit(around[0]+words+around[1], len(around[0])); got != len(words) && (n != 1 || den > 1) {
					t.Errorf("%q%q%q: %d letters, want %d", around[0], words, around[1], got, len(words))
				}
			}
		}
		for _, n := range []int{2, 3, 11, 12, 20, 21, 99, 100, 101, 345} {
			check(spelled(n, "-")+" "+u.many, float64(n), 1)
		}
		check(u.article+" "+u.one, 1, 1)
		for _, p := range saidParts {
			part := float64(p.num) / float64(p.den)
			of := p.words + " of " + u.article + " " + u.one
			if p.den == 2 {
				of = "half " + u.article + " " + u.one
			}
			check(of, part, p.den)
			if p.den > 10 || p.num > 3 {
				continue
			}
			and := strings.Replace(p.words, "half", "a half", 1)
			check("two and "+and+" "+u.many, 2+part, p.den)
			if p.den == 2 || p.den == 4 || p.den == 3 || p.den == 8 {
				check(u.article+" "+u.one+" and "+and, 1+part, p.den)
			}
		}
	}
}
