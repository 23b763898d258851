package runlog

import (
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// A row that ends before its position is told so in the maker's words, not in the program's.
func TestRowWithoutItsPositionIsSaidInWords(t *testing.T) {
	text := "time (s),voltage (V),current (A),latitude,longitude\n"
	for i := range 40 {
		row := []string{"1", "13.2", "6.0", "52.1", "8.7"}
		row[0] = string(rune('0'+i/10)) + string(rune('0'+i%10))
		if i == 20 {
			row = row[:4]
		}
		text += strings.Join(row, ",") + "\n"
	}
	_, found, err := Measure(finding.NewStream("log.csv"), strings.NewReader(text), NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range found {
		if f.Rule == "log-short-row" {
			if want := "this row has 4 fields; the position is in column 5"; f.Text != want {
				t.Errorf("%q, want %q", f.Text, want)
			}
			return
		}
	}
	t.Error("nothing is said of the short row")
}
