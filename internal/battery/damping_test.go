package battery

import "testing"

// A step that keeps its promise is followed by one that is damped less, at last by none; one that kept a small part of it, as where a search
// goes to and fro across a bend, by one that is damped.
func TestDamping(t *testing.T) {
	for _, c := range []struct {
		name                         string
		damping, gain, lower, wanted float64
	}{
		{"undamped, as promised", 0, 1, 1, 0},
		{"undamped, half of it", 0, 0.5, 1, 0},
		{"undamped, a twentieth of it", 0, 0.05, 1, firstDamp},
		{"damped, as promised", 1, 1, 1, 1. / 3},
		{"damped, half of it", 1, 0.5, 1, 1},
		{"damped, nothing of it", 1, 0, 1, 2},
		{"hardly damped, as promised", leastDamp, 1, 1, 0},
	} {
		if got := damped(c.damping, c.gain, c.lower); got != c.wanted {
			t.Errorf("%s: %g, want %g", c.name, got, c.wanted)
		}
	}
}
