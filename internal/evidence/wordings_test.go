package evidence

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// wordingRow is a row of the table of wordings.
type wordingRow struct {
	line           int
	words, against string
	low, high      string
	ends           string
}

func wordings(t *testing.T) []wordingRow {
	t.Helper()
	text, err := os.ReadFile("testdata/wordings.tsv")
	if err != nil {
		t.Fatal(err)
	}
	var out []wordingRow
	for i, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		if strings.HasPrefix(line, "#") || strings.HasPrefix(line, "words\t") {
			continue
		}
		c := strings.Split(line, "\t")
		if len(c) != 5 {
			t.Fatalf("line %d has %d columns: %q", i+1, len(c), line)
		}
		out = append(out, wordingRow{i + 1, c[0], c[1], c[2], c[3], c[4]})
	}
	return out
}

// dimensionNamed finds a dimension by its name with hyphens.
func dimensionNamed(t *testing.T, name string) quantity.Dimension {
	t.Helper()
	names := map[string]quantity.Dimension{"plain": quantity.Plain, "energy-per-length": quantity.EnergyPerLength, "price": quantity.Plain}
	for d := quantity.Plain; d <= quantity.EnergyPerLength; d++ {
		names[strings.ReplaceAll(d.String(), " ", "-")] = d
	}
	names["area"] = quantity.Area
	d, ok := names[name]
	if !ok {
		t.Fatalf("no dimension is called %q", name)
	}
	return d
}

func subjectNamed(t *testing.T, against string) Subject {
	t.Helper()
	form, of, _ := strings.Cut(against, " ")
	of = strings.TrimPrefix(of, "of ")
	switch form {
	case "ratio":
		return Subject{Form: Ratio, Dimension: dimensionNamed(t, of)}
	case "change":
		s := Subject{Form: Change, Dimension: dimensionNamed(t, of)}
		if of == "price" {
			s.Currency = "GBP"
		}
		return s
	case "count":
		return Subject{Form: Count}
	case "date":
		return Subject{Form: Date}
	case "price":
		return Subject{Form: Price, Currency: of}
	default:
		return Subject{Form: Number, Dimension: dimensionNamed(t, against)}
	}
}

// end reads an end of the table.
func end(t *testing.T, text string, s Subject, none float64) float64 {
	t.Helper()
	if text == "-" {
		return none
	}
	if s.Form == Date {
		d, err := notes.ParseDate(text)
		if err != nil {
			t.Fatal(err)
		}
		return dayNumber(d.Time())
	}
	if v, err := strconv.ParseFloat(text, 64); err == nil {
		return v
	}
	q, err := quantity.ParseAs(text, s.Dimension)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return q.Value
}

func TestWordings(t *testing.T) {
	rows := wordings(t)
	if len(rows) < 150 {
		t.Fatalf("%d wordings, fewer than 150", len(rows))
	}
	seen := map[string]bool{}
	for _, r := range rows {
		if seen[r.words+"\t"+r.against] {
			t.Errorf("line %d: %q stands twice", r.line, r.words)
		}
		seen[r.words+"\t"+r.against] = true
		s := subjectNamed(t, r.against)
		got, err := Read(r.words, s)
		if r.ends == "refused" {
			if err == nil {
				t.Errorf("line %d: %q was read as %g to %g and should be refused", r.line, r.words, got.Low, got.High)
			}
			continue
		}
		if err != nil {
			t.Errorf("line %d: %q: %v", r.line, r.words, err)
			continue
		}
		low, high := end(t, r.low, s, math.Inf(-1)), end(t, r.high, s, math.Inf(1))
		near := func(a, b float64) bool {
			return a == b || math.Abs(a-b) <= 2e-7*math.Max(math.Abs(a), math.Abs(b))+1e-12
		}
		if !near(got.Low, low) || !near(got.High, high) {
			t.Errorf("line %d: %q claims %.9g to %.9g, want %.9g to %.9g", r.line, r.words, got.Low, got.High, low, high)
		}
		if r.low != "-" && got.LowOpen != (r.ends[0] == '(') || r.high != "-" && got.HighOpen != (r.ends[1] == ')') {
			t.Errorf("line %d: %q: ends are open %t %t, want %s", r.line, r.words, got.LowOpen, got.HighOpen, r.ends)
		}
	}
	t.Logf("%d wordings", len(rows))
}

// Of every wording: what lies inside its ends is as it says, what lies outside is not, and the words that it is put
// into then are true.
func TestWordingsSaidOfAnotherValue(t *testing.T) {
	said, none := 0, 0
	for _, r := range wordings(t) {
		s := subjectNamed(t, r.against)
		c, err := Read(r.words, s)
		if err != nil {
			continue
		}
		width := c.High - c.Low
		if math.IsInf(width, 0) || width == 0 {
			width = math.Max(1, 0.1*math.Abs(c.worded.amount.value))
		}
		for _, x := range []float64{c.High + 0.37*width, c.Low - 0.37*width, c.High + 3.1*width} {
			if math.IsInf(x, 0) || s.Form == Ratio && x <= 0 {
				continue
			}
			if s.Form == Count || s.Form == Date {
				x = math.Round(x)
			}
			if c.Yearly || s.Form == Count && (c.Holds(x) || x < 0) { // rounding brought it back inside
				continue
			}
			if c.Holds(x) {
				t.Errorf("%q (%s) holds %g, outside its ends", r.words, r.against, x)
				continue
			}
			words := c.Rephrase(x, s)
			if words == "" {
				none++
				continue
			}
			said++
			if again, err := Read(words, s); err != nil || !again.Holds(x) {
				t.Errorf("%q said of %g is %q, which is not true (%v)", r.words, x, words, err)
			}
		}
	}
	t.Logf("%d values said in the manner of other words, %d could not be", said, none)
	if said < 4*none || said < 200 {
		t.Errorf("said %d, could not say %d", said, none)
	}
}
