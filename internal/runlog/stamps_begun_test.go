package runlog

import (
	"fmt"
	"strings"
	"testing"
)

// Rows that begin within a stamp reach up to the next one, as densely as that one has them, if it is whole: it is not where the one after it has more by
// far (three standard deviations of a count). The times count from the first row.
func TestStampsBegunWithin(t *testing.T) {
	evenly := func(from float64, n int, step float64) string {
		var out []string
		for k := range n {
			out = append(out, fmt.Sprintf("%.4g", from+step*float64(k)))
		}
		return strings.Join(out, " ")
	}
	for _, x := range []struct{ name, rows, want string }{
		{"two stamps alone", "0*2 1*4", "0±0.204 0.25 0.5 0.75 1 1.25 | 6 rows share log-coarse-stamps"},
		{"the next is whole", "0*1 1*4 2*16 3*16", "0±0.204 0.25 0.5 0.75 1 1.25±0.118 " + evenly(1.3125, 31, 0.0625) + " | 36 rows shar log-coarse-stamps"},
		{"the next is not", "0*1 1*3 2*16 3*16", "0±0.289 1±0.577 1.333 1.667 2±0.118 " + evenly(2.0625, 31, 0.0625) + " | 35 rows shar log-coarse-stamps"},
	} {
		if got := spreadOut(t, x.rows, 1); got != x.want {
			t.Errorf("%s:\nhave %s\nwant %s", x.name, got, x.want)
		}
	}
}
