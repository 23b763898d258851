package reference

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"
)

func TestRead(t *testing.T) {
	for _, tt := range []struct{ name, text, fault string }{
		{"sound", "who,high\na,1.5\nb,\n", ""},
		{"no rows", "who,high\n", "no rows"},
		{"another head", "who,low\na,1\n", "another head"},
		{"an empty word", "who,high\n,1\n", "row 2: an empty field"},
		{"no number", "who,high\na,1\nb,tall\n", "row 3"},
		{"not a table", "who,high\na\n", "wrong number of fields"},
	} {
		var words []string
		sum := 0.0
		err := Read(fstest.MapFS{"t.csv": {Data: []byte(tt.text)}}, "t.csv", "who,high", func(r *Row) {
			words = append(words, r.Text())
			if v := r.Optional(math.NaN()); !math.IsNaN(v) {
				sum += v
			}
		})
		switch {
		case tt.fault == "":
			if err != nil || strings.Join(words, "") != "ab" || sum != 1.5 {
				t.Errorf("%s: %v, %v, %v", tt.name, words, sum, err)
			}
		case err == nil || !strings.Contains(err.Error(), tt.fault) || !strings.Contains(err.Error(), "t.csv"):
			t.Errorf("%s: %v, want a fault of t.csv with %q", tt.name, err, tt.fault)
		}
	}
	short := func(r *Row) { r.Text() }
	long := func(r *Row) { r.Text(); r.Number(); r.Number() }
	for want, add := range map[string]func(*Row){"1 fields are not used": short, "a field is missing": long} {
		err := Read(fstest.MapFS{"t.csv": {Data: []byte("who,high\na,1\n")}}, "t.csv", "who,high", add)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	if err := Read(fstest.MapFS{}, "t.csv", "who", short); err == nil {
		t.Error("a table that is not there was read")
	}
}
