package evidence

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// The words of two files are kept with what is made of them: testdata/said.txt what words claim, with how other values
// are said in their manner, and why they are refused; testdata/carried.txt which amounts a sentence carries. Both were
// read; they are nets beside wordings.tsv, which was written by hand, and beside the caps on what hedges claim.
// VOLTWRIGHT_UPDATE=1 writes them anew: read the difference.

// kept answers every line of a file, and compares with what is kept behind it.
func kept(t *testing.T, file string, answer func(line string) string) {
	t.Helper()
	if lines := recorded.Beside(t, file, answer); lines < 100 {
		t.Errorf("%s: %d lines", file, lines)
	}
}

func TestSaid(t *testing.T) {
	kept(t, "testdata/said.txt", func(line string) string {
		words, against, ok := strings.Cut(line, " | ")
		if !ok {
			t.Fatalf("%q has no subject", line)
		}
		s := subjectNamed(t, strings.TrimPrefix(against, "comma "))
		s.Comma = strings.HasPrefix(against, "comma ")
		return said(words, s)
	})
	for _, r := range wordings(t) {
		s := subjectNamed(t, r.against)
		if got := said(r.words, s); r.ends == "refused" && !strings.HasPrefix(got, "refused") {
			t.Errorf("%q: %s", r.words, got)
		}
	}
}

// TestWordingsAreSaid holds the wordings of the table to how they were said of other values.
func TestWordingsAreSaid(t *testing.T) {
	var out strings.Builder
	for _, r := range wordings(t) {
		fmt.Fprintf(&out, "%s | %s\n> %s\n", r.words, r.against, said(r.words, subjectNamed(t, r.against)))
	}
	recorded.Text(t, "testdata/wordings-said.txt", out.String())
}

// said is what words claim, in a line: the interval, what the amount is counted in, and four other values in their manner.
func said(words string, s Subject) string {
	c, err := Read(words, s)
	if err != nil {
		return "refused: " + err.Error()
	}
	if s.Form == Name {
		return "claims " + c.Text
	}
	open, closed := "[", "]"
	if c.LowOpen {
		open = "("
	}
	if c.HighOpen {
		closed = ")"
	}
	out := fmt.Sprintf("%s%.7g, %.7g%s", open, c.Low, c.High, closed)
	if c.Yearly {
		out += " of any year"
	}
	if c.Spread != nil {
		out += fmt.Sprintf(" ± %.7g to %.7g", c.Spread.Low, c.Spread.High)
	}
	a := c.worded.amount
	out += fmt.Sprintf("; %.7g in steps of %.6g", a.value, a.step)
	if c.worded.hedge != nil && c.worded.hedge != plainHedge {
		out += ", " + c.worded.hedge.name
	}
	width := c.High - c.Low
	if math.IsInf(width, 0) || width == 0 {
		width = math.Max(1, 0.1*math.Abs(a.value))
	}
	middle := (c.Low + c.High) / 2
	if math.IsInf(middle, 0) || math.IsNaN(middle) {
		middle = a.value
	}
	for _, x := range []float64{middle + 0.87*width, middle - 0.87*width, middle + 3.6*width, 0.31 * middle, 12.3 * middle} {
		if s.Form == Count || s.Form == Date {
			x = math.Round(x)
		}
		if s.Form == Ratio && x <= 0 {
			continue
		}
		out += fmt.Sprintf("; %.5g: %q", x, c.Rephrase(x, s))
		if again := c.Rephrase(x, s); again == "" && truth(x, s) != "" {
			out += fmt.Sprintf(" or %q", truth(x, s))
		}
	}
	return out
}

// What the method page prints of hedges.
func TestHedgesAreTabled(t *testing.T) {
	recorded.Text(t, "testdata/hedges.txt", hedgeTable()+"\n")
}

func TestCarried(t *testing.T) {
	kept(t, "testdata/carried.txt", func(line string) string {
		var all []string
		for i := 0; i < len(line); {
			if n := numberWithUnit(line, i); n > 0 {
				all = append(all, "“"+line[i:i+n]+"”")
				i += n
				continue
			}
			i++
		}
		if all == nil {
			return "nothing"
		}
		return strings.Join(all, " ")
	})
}

// What is true of a value without any manner to follow.
func TestTruth(t *testing.T) {
	ratio := Subject{Form: Ratio}
	for x, want := range map[float64]string{2: "2.0 times", 1.99: "99 % more", 1.95: "95 % more", 1.9: "90 % more", 12.34: "12.3 times", 1: "0 % more", 0.99: "1 % less", 0.5: "50 % less"} {
		if got := truth(x, ratio); got != want {
			t.Errorf("%v: %q, want %q", x, got, want)
		}
	}
	if got := truth(2.6, Subject{Form: Count}) + truth(1.5, Subject{Form: Price, Currency: "GBP"}) + truth(1, Subject{Form: Number}); got != "three£1.50" {
		t.Error(got)
	}
}

// What ± claims is closed at both ends, and the value itself has to be as it is written besides.
func TestSpreadsAtTheirEnds(t *testing.T) {
	for _, tt := range []struct {
		value, u float64
		want     bool
	}{
		{24.8, 0.1, true}, {24.8, 0.125, true}, {24.8, 0.1251, false}, {24.8, 0.0501, true}, {24.8, 0.05, true}, {24.8, 0.0499, false}, {24.8, 0, false}, {24.8, math.NaN(), false},
		{24.85, 0.1, true}, {24.851, 0.1, false}, {24.74, 0.1, false}, {24.9, 0.1, false},
	} {
		v := figure(quantity.Quantity{Dimension: quantity.Voltage, Value: tt.value, U: tt.u, Decimals: -1}, "")
		s := SubjectOf(v)
		c, err := Read("24.8 V ± 0.2 V", s)
		if err != nil {
			t.Fatal(err)
		}
		if got := agree("24.8 V ± 0.2 V", c, v); got != tt.want {
			t.Errorf("%v V, u %v: %v", tt.value, tt.u, got)
		}
	}
	name := figure(quantity.Quantity{}, "")
	name.Form, name.Text = Name, []string{"lead acid", "the shunter"}
	for words, want := range map[string]bool{"lead": true, "Shunter": true, "lead acids": true, "shunter lead": false, "ead": false, "": false, "glass": false} {
		if got := agree(words, Claim{Text: words}, name); got != want {
			t.Errorf("%q of %v: %v", words, name.Text, got)
		}
	}
}
