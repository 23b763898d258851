package numeral

import (
	"testing"

	"voltwright/internal/quantity"
)

// A value without an uncertainty has three figures in the unit that the page prints, which need not be the one that it is
// computed in.
func TestRoughHasThreeFiguresAsPrinted(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Rough(quantity.MetresPerSecond(4.6178), Computed, "").Whole, "16.6 km/h"}, // 4.6178 × 3.6 = 16.62
		{Rough(quantity.MetresPerSecond(0.5), Computed, "").Whole, "1.80 km/h"},
		{Rough(quantity.Volts(3.0748), Computed, "").Whole, "3.07 V"},
		{Rough(quantity.Volts(25.64), Computed, "").Whole, "25.6 V"},
		{Rough(quantity.Volts(0), Computed, "").Whole, "0 V"},
	} {
		if c.got != c.want {
			t.Errorf("%q, not %q", c.got, c.want)
		}
	}
}
