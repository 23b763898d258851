package predict

import (
	"testing"

	"voltwright/internal/quantity"
)

// What is left is told with its width, and by its most where that reaches down to nothing.
func TestLeftInWords(t *testing.T) {
	for _, c := range []struct {
		left, u quantity.AmpereHours
		want    string
	}{{4, 0.2, "(4.00 ± 0.40) Ah"}, {4, 1.9, "(4.0 ± 3.8) Ah"}, {4, 2.1, "4 Ah, at most 8.2 Ah"}, {-1, 2, "0 Ah, at most 3 Ah"}} {
		r := EndPoint{Left: quantity.Of(c.left, c.u)}
		if got := r.LeftWords(); got != c.want {
			t.Errorf("%v ± %v: %q, want %q", c.left, 2*c.u, got, c.want)
		}
	}
}
