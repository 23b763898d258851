package journal

import (
	"testing"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// What a pack may give, in the wiring: for good its steady discharge, for a while
// the current of its protection; what the wiring states itself goes first.
func TestWhatAPackMayGive(t *testing.T) {
	amps := func(a quantity.Amperes) notes.Value[quantity.Amperes] {
		if a == 0 {
			return notes.Value[quantity.Amperes]{Measured: quantity.Missing[quantity.Amperes]()}
		}
		return notes.Value[quantity.Amperes]{Measured: quantity.Exact(a), Set: true}
	}
	for _, tt := range []struct {
		name                                               string
		discharge, trip, current, peak, wantLast, wantPeak quantity.Amperes
	}{
		{"nothing stated", 0, 0, 0, 0, 0, 0},
		{"a data sheet", 28, 0, 0, 0, 28, 0},
		{"a protection", 0, 55, 0, 0, 55, 55},
		{"both", 28, 55, 0, 0, 28, 55},
		{"and the wiring's own word", 28, 55, 25, 70, 25, 70},
		{"the wiring's own current alone", 28, 0, 25, 0, 25, 25},
	} {
		v := fixture(t, "1-sound")
		v.Packs[0].Discharge, v.Packs[0].Protection.Current = amps(tt.discharge), amps(tt.trip)
		v.Wiring.Parts[0].Current, v.Wiring.Parts[0].Peak = amps(tt.current), amps(tt.peak)
		c, _ := v.Circuit()
		if p := c.Parts[0]; p.Current != tt.wantLast || p.Peak != tt.wantPeak {
			t.Errorf("%s: %g A for good and %g A for a while, want %g and %g", tt.name, float64(p.Current), float64(p.Peak), float64(tt.wantLast), float64(tt.wantPeak))
		}
	}
}
