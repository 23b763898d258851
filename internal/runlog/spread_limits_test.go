package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// stamped writes rows as "t:i" with blanks between, or "t*n" for n rows of 5 A; "~" behind it is a row without a current,
// "!" one at which the clock started again, "^" one that the clock holds.
func stamped(t *testing.T, text string) (rows []Sample, held []bool) {
	t.Helper()
	for word := range strings.FieldsSeq(text) {
		bare := strings.TrimRight(word, "~!^")
		marks := word[len(bare):]
		var at, i float64
		n := 1
		if _, err := fmt.Sscanf(bare, "%g*%d", &at, &n); err == nil {
			i = 5
		} else if _, err := fmt.Sscanf(bare, "%g:%g", &at, &i); err != nil {
			t.Fatalf("%q: %v", word, err)
		}
		for range n {
			s := vi(at, 25, i)
			if strings.Contains(marks, "~") {
				s.Values[Current] = math.NaN()
			}
			s.Restart = strings.Contains(marks, "!")
			rows, held = append(rows, s), append(held, strings.Contains(marks, "^"))
		}
	}
	return rows, held
}

// spreadOut is where rows stand after the spreader: times, and behind a ± what is open of each, where it changes.
func spreadOut(t *testing.T, text string, unit float64) string {
	rows, held := stamped(t, text)
	report := &tally{}
	w := newSpreader(report, unit, decimalGrain{})
	var out []string
	loose := 0.0
	give := func() {
		for {
			s, ok := w.give()
			if !ok {
				return
			}
			word := fmt.Sprintf("%.4g", s.Time)
			if s.Loose != loose {
				loose = s.Loose
				word += fmt.Sprintf("±%.3g", loose)
			}
			if s.Values[Time] != s.Time {
				word += "?"
			}
			out = append(out, word)
		}
	}
	for k := range rows {
		w.take(&rows[k], rows[k].Time, held[k])
		give()
	}
	w.finish()
	give()
	text = strings.Join(out, " ")
	for _, f := range report.findings() {
		text += fmt.Sprintf(" | %.12s %s", f.Text, f.Rule)
	}
	return text
}

// TestRowsThatShareAStamp: where the rows of coarse stamps are put, and which rows of one time are left where they are. Of n rows
// within a stamp of a second the middle one is off by 1/(2·√(n + 2)) s.
func TestRowsThatShareAStamp(t *testing.T) {
	// A first stamp of one row before stamps of two was begun in its middle, so that the times count from there.
	for _, x := range []struct{ name, rows, want string }{
		{"each its own", "0*1 1*1 2*1", "0 1 2"}, {"four to each", "0*4 1*4 2*4", "0±0.204 0.25 0.5 0.75 1 1.25 1.5 1.75 2 2.25 2.5 2.75 | 12 rows shar log-coarse-stamps"},
		{"two to each", "0*2 1*2", "0±0.25 0.5 1 1.5 | 4 rows share log-coarse-stamps"}, {"one stamp of two", "0*1 1*2 2*1", "0 1 1 2 | 1 row repeat log-repeated-time"},
		{"it begins within a stamp", "0*1 1*4 2*4 3*4", "0±0.204 0.25 0.5 0.75 1 1.25 1.5 1.75 2 2.25 2.5 2.75 3 | 12 rows shar log-coarse-stamps"}, {"it ends within one", "0*4 1*4 2*1", "0±0.204 0.25 0.5 0.75 1 1.25 1.5 1.75 2 | 8 rows share log-coarse-stamps"},
		{"a pause", "0*4 1*4 7*4 8*4", "0±0.204 0.25 0.5 0.75 1 1.25 1.5 1.75 7 7.25 7.5 7.75 8 8.25 8.5 8.75 | 16 rows shar log-coarse-stamps"}, {"eight stamps off", "0*2 8*2", "0±0.25 0.5 8 8.5 | 4 rows share log-coarse-stamps"}, {"nine", "0*2 9*2", "0 0 9 9 | 2 rows repea log-repeated-time"}, {"three, of which two are near", "0*2 1*1 9*2 17*2", "0 0 1±0.25 9 9.5 17 17.5 | 1 row repeat log-repeated-time | 4 rows share log-coarse-stamps"},
		{"an edge at one instant", "0:0 1:0 1:6 2:6 3:6 3:0 4:0", "0 1 1 2 3 3 4 | 2 rows repea log-repeated-time"}, {"no edge: it changed before", "0:0 1:3 1:6 2:6 3:6 3:3 4:0", "0±0.25 0.5 1 1.5±0.289 2.5±0.25 3 3.5 | 4 rows share log-coarse-stamps"},
		{"it goes on changing", "0:0 1:0 1:6 2:9 3:9 3:0 4:6", "0±0.25 0.5 1 1.5±0.289 2.5±0.25 3 3.5 | 4 rows share log-coarse-stamps"}, {"a quarter of the step", "0:1.4 1:0 1:6 2:7.4 3:7.4 3:1.4 4:0", "0 1 1 2 3 3 4 | 2 rows repea log-repeated-time"}, {"more before it", "0:1.6 1:0 1:6 2:6 3:6 3:0 4:-1.6", "0±0.25 0.5 1 1.5±0.289 2.5±0.25 3 3.5 | 4 rows share log-coarse-stamps"},
		{"less than a tenth is no edge", "0:10 1:10 1:9.01 2:9.01 3:9.01 3:10 4:10", "0±0.25 0.5 1 1.5±0.289 2.5±0.25 3 3.5 | 4 rows share log-coarse-stamps"}, {"a tenth is", "0:10 1:10 1:8.99 2:8.99 3:8.99 3:10 4:10", "0 1 1 2 3 3 4 | 2 rows repea log-repeated-time"}, {"nothing changes", "0:5 1:5 1:5 2:5 3:5 3:5 4:5", "0±0.25 0.5 1 1.5±0.289 2.5±0.25 3 3.5 | 4 rows share log-coarse-stamps"},
		{"two instruments take turns", "0*1 0*1~ 1*1 1*1~ 2*1 2*1~", "0 0 1 1 2 2 | 3 rows repea log-repeated-time"}, {"held by the clock", "0*1 0*1^ 1*1 1*1^ 2*1 2*1^", "0 0 1 1 2 2"}, {"held, and one more", "0*2 0*1^ 1*2 1*1^", "0 0 0 1 1 1 | 2 rows repea log-repeated-time"},
		{"anew", "0*4 1*4 2*1! 2*3 3*4", "0±0.204 0.25 0.5 0.75 1 1.25 1.5 1.75 2 2.25 2.5 2.75 3 3.25 3.5 3.75 | 16 rows shar log-coarse-stamps"},
		{"finer digits and a pause", "0*2 0.1*2 0.5*2 0.6*2", "0±0.025 0.05 0.1 0.15 0.5±0.025 0.55 0.6±0.025 0.65 | 8 rows share log-coarse-stamps"},
		{"finer digits", "0*2 0.1*2 0.2*2", "0±0.025 0.05 0.1 0.15 0.2 0.25 | 6 rows share log-coarse-stamps"}, {"finer digits later", "0*2 1*2 2.5*2 3.5*2", "0 0 1 1 2.5 2.5 3.5 3.5 | 4 rows repea log-repeated-time"},
	} {
		if got := spreadOut(t, x.rows, 1); got != x.want {
			t.Errorf("%s:\nhave %s\nwant %s", x.name, got, x.want)
		}
	}
	if got := spreadOut(t, "0*2 60*2 120*2", 60); got != "0±15 30 60 90 120 150 | 6 rows share log-coarse-stamps" {
		t.Errorf("whole minutes: %s", got)
	}
	for _, x := range []struct {
		a, than int
		want    bool
	}{{7, 16, false}, {3, 16, true}, {4, 16, false}, {0, 9, false}, {0, 10, true}, {16, 16, false}, {20, 16, false}} {
		if got := fewer(x.a, x.than); got != x.want {
			t.Errorf("%d is fewer than %d: %t", x.a, x.than, got)
		}
	}
}
