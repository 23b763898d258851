package site

import (
	"testing"

	"voltwright/internal/quantity"
)

// A value without an uncertainty has three figures in the unit that the page prints, which need not be the one that it is
// computed in.
func TestRoughHasThreeFiguresAsPrinted(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{rough(quantity.MetresPerSecond(4.6178), computed, "").Whole, "16.6 km/h"}, // 4.6178 × 3.6 = 16.62
		{rough(quantity.MetresPerSecond(0.5), computed, "").Whole, "1.80 km/h"},
		{rough(quantity.Volts(3.0748), computed, "").Whole, "3.07 V"},
		{rough(quantity.Volts(25.64), computed, "").Whole, "25.6 V"},
		{rough(quantity.Volts(0), computed, "").Whole, "0 V"},
	} {
		if c.got != c.want {
			t.Errorf("%q, not %q", c.got, c.want)
		}
	}
}
