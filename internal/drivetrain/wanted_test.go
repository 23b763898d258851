package drivetrain

import (
	"strings"
	"testing"

	"voltwright/internal/drive"
	"voltwright/internal/quantity"
)

// No setting of the controller gives a speed at which the hill drives the vehicle: the answer is why, and nothing beside it.
func TestWantedDownhill(t *testing.T) {
	for _, x := range []struct {
		grade drive.Grade
		want  string
	}{{drive.OneIn(200), ""}, {-drive.OneIn(10), "the brakes have to hold"}} {
		h := garden(t)
		h.Cruise, h.Wanted = &x.grade, quantity.Exact(quantity.MetresPerSecond(1.2))
		w := Compute(h).Wanted
		if w == nil || w.Speed != 1.2 {
			t.Fatalf("%+v", w)
		}
		if x.want == "" {
			if w.Err != "" || !w.Setting.Known() || !(w.Setting.U > 0) || !strings.Contains(w.Words, "4.32 km/h") {
				t.Errorf("up %v: %+v", x.grade, w)
			}
			continue
		}
		if !strings.Contains(w.Err, x.want) || w.Setting.Known() || w.Words != "" {
			t.Errorf("down %v: %+v", x.grade, w)
		}
	}
}
