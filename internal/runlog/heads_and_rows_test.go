package runlog

import (
	"fmt"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// What is said of a head that does not fit its rows, and of lines above them that look like rows: rules with their lines, and how
// many rows are read.
func TestHeadsThatDoNotFit(t *testing.T) {
	rows := func(n int, form string) string {
		var b strings.Builder
		for k := range n {
			b.WriteString(strings.ReplaceAll(form, "@", fmt.Sprint(k)) + "\n")
		}
		return b.String()
	}
	numbered := func(o *Options) { o.Columns = map[Channel]string{Time: "#1", Voltage: "#2", Current: "#3"} }
	for _, x := range []struct {
		name, text string
		options    func(*Options)
		want       string
	}{
		{"as many", "time (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5"), nil, "9 rows"},
		{"below an empty line with another end", "\n" + strings.ReplaceAll("time (s),voltage (V),discharge current (A)\n"+rows(9, "@,26,5"), "\n", "\r\n"), nil, "9 rows"},
		{"a name is missing", "time (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5,17"), nil, "0 rows, log-head-short 1"},
		{"and the columns are stated", "time (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5,17"), numbered, "9 rows, log-head-short 1"},
		{"behind an empty column", "time (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5,"), nil, "9 rows"},
		{"a name of nothing at the end", "time (s),voltage (V),discharge current (A),\n" + rows(9, "@,26,5"), nil, "9 rows"},
		{"a name more, between commas", "time (s),voltage (V),discharge current (A),temperature\n" + rows(9, "@,26,5"), nil, "9 rows"},
		{"a word more, between blanks", "time voltage discharge current\n" + rows(9, "@ 26 5"), nil, "0 rows, log-head-long 1"},
		{"and the columns are stated, between blanks", "time voltage discharge current\n" + rows(9, "@ 26 5"), func(o *Options) { numbered(o); positive := false; o.DischargeNegative = &positive }, "9 rows, log-head-long 1"},
		{"two names", "time (s),voltage (V)\n" + rows(9, "@,26,5"), nil, "0 rows, log-head-short 1"},
		{"one name is no head", "time\n" + rows(9, "@,26,5"), func(o *Options) { numbered(o); positive := false; o.DischargeNegative = &positive }, "9 rows"},
		{"decimal commas between commas", "time (s),voltage (V),discharge current (A),temperature\n" + rows(9, "@,26,1,5,0,17,5"), nil, "0 rows, log-decimal-open 2"},
		{"one comma less", "time (s),voltage (V),discharge current (A),temperature\n" + rows(9, "@,26,1,5,0,17"), nil, "0 rows, log-columns-missing 2"},
		{"two names and a comma more", "time (s),voltage (V)\n" + rows(9, "@,26,1"), nil, "0 rows, log-head-short 1"},
		{"one row above, of semicolons", "0;26;5\ntime (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5"), nil, "9 rows"},
		{"two", "a log\n0;26;5\n1;26;5\ntime (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5"), nil, "9 rows, log-rows-above 2"},
		{"of tabs", "0\t26\t5\n1\t26\t5\ntime (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5"), nil, "9 rows, log-rows-above 1"},
		{"that are comments", "#0;26;5\n#1;26;5\ntime (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5"), nil, "9 rows"},
		{"with a word for a number", "0;26;on\n1;26;on\ntime (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5"), nil, "9 rows"},
		{"with a cell less", "0;26\n1;26\ntime (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5"), nil, "9 rows"},
		{"with a cell more", "0;26;5;9\n1;26;5;9\ntime (s),voltage (V),discharge current (A)\n" + rows(9, "@,26,5"), nil, "9 rows"},
		{"beside a column of words", "0;on;26;5\n1;on;26;5\ntime (s),note,voltage (V),discharge current (A)\n" + rows(9, "@,on,26,5"), nil, "9 rows, log-rows-above 1"},
		{"commas above decimal commas", "0,26,5\n1,26,5\ntime (s);voltage (V);discharge current (A)\n" + rows(9, "@,5;26,5;5,0"), nil, "9 rows"},
		{"times above", "10:00:00;26;5\n10:00:01;26;5\ntime,voltage (V),discharge current (A)\n" + rows(9, "10:00:0@,26,5"), nil, "9 rows, log-rows-above 1"},
	} {
		o := NewOptions()
		if x.options != nil {
			x.options(&o)
		}
		s, err := NewScanner(finding.NewStream("x.csv"), strings.NewReader(x.text), o)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for {
			if _, ok := s.Next(); !ok {
				break
			}
			n++
		}
		got := plural(n, "row")
		for _, f := range s.Findings() {
			if strings.HasPrefix(f.Rule, "log-head") || strings.HasPrefix(f.Rule, "log-decimal") || f.Rule == "log-columns-missing" || f.Rule == ruleRowsAbove {
				got += fmt.Sprintf(", %s %d", f.Rule, f.Span.Position().Line)
			}
		}
		if got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
	}
}

// Which columns make a position, and which two one current, wherever they stand.
func TestColumnsThatGoTogether(t *testing.T) {
	out := func(o *Options) { o.Columns = map[Channel]string{Current: "discharge current (A)"} }
	for _, x := range []struct {
		name, head string
		row        func(k int) string
		options    func(*Options)
		columns    string // that are read, by their roles
	}{
		{"a longitude in the first column", "longitude,time (s),latitude,voltage (V),discharge current (A)", func(k int) string { return fmt.Sprintf("13.%03d,%d,52.5,26,5", k, k) }, nil, "longitude 1, latitude 3"},
		{"a latitude in the first column", "latitude,time (s),longitude,voltage (V),discharge current (A)", func(k int) string { return fmt.Sprintf("52.%03d,%d,13.4,26,5", k, k) }, nil, "latitude 1, longitude 3"},
		{"a longitude again", "longitude,time (s),latitude,longitude,voltage (V),discharge current (A)", func(k int) string { return fmt.Sprintf("13.%03d,%d,52.5,9,26,5", k, k) }, nil, "longitude 1, latitude 3"},
		{"a latitude again", "latitude,time (s),longitude,latitude,voltage (V),discharge current (A)", func(k int) string { return fmt.Sprintf("52.%03d,%d,13.4,9,26,5", k, k) }, nil, "latitude 1, longitude 3"},
		{"a latitude alone", "latitude,time (s),voltage (V),discharge current (A)", func(k int) string { return fmt.Sprintf("52.%03d,%d,26,5", k, k) }, nil, ""},
		{"a current each way", "time (s),voltage (V),charge current (A),discharge current (A)", func(k int) string { return fmt.Sprintf("%d,26,%d,%d", k, 5*(k%2), 5*((k+1)%2)) }, nil, "back 3"},
		{"of which one is stated", "time (s),voltage (V),charge current (A),discharge current (A)", func(k int) string { return fmt.Sprintf("%d,26,%d,%d", k, 5*(k%2), 5*((k+1)%2)) }, out, ""},
	} {
		text := x.head + "\n"
		for k := range 40 {
			text += x.row(k) + "\n"
		}
		o := NewOptions()
		if x.options != nil {
			x.options(&o)
		}
		s, err := NewScanner(finding.NewStream("x.csv"), strings.NewReader(text), o)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, c := range s.columns {
			if word := map[role]string{roleLatitude: "latitude", roleLongitude: "longitude", roleBack: "back"}[c.role]; word != "" {
				got = append(got, fmt.Sprintf("%s %d", word, c.index+1))
			}
		}
		if strings.Join(got, ", ") != x.columns || !s.usable {
			t.Errorf("%s: %v, want %s; %v", x.name, got, x.columns, s.Findings())
		}
	}
}
