package diagram

import (
	"testing"
)

// The tall drawings of all circuits hold what the others do: no text on anything, no lead on a lead or through a part. Those that a telephone can show
// without being moved are counted; what is too wide for that is named.
func TestTallDrawings(t *testing.T) {
	narrow, all := 0, 0
	for _, x := range drawn(t) {
		for _, o := range []Options{{Tall: true}, {Tall: true, Monochrome: true, Standalone: true}} {
			d := Power(&x.Circuit, solved(x), o)
			clear(t, x.Name+" tall", d)
			separate(t, x.Name+" tall", &x.Circuit, d)
			wellFormed(t, x.Name, d.SVG)
			all++
			if d.Width <= TallWidth {
				narrow++
			} else {
				t.Logf("%s is %.0f wide", x.Name, d.Width)
			}
		}
		for i := range x.Circuit.Parts {
			if openable(x.Circuit.Parts[i].Kind) {
				live, err := x.Circuit.Live(i)
				if err != nil {
					t.Fatal(err)
				}
				d := Live(&x.Circuit, live, Options{Tall: true})
				clear(t, x.Name+" live tall", d)
				wellFormed(t, x.Name, d.SVG)
			}
		}
	}
	t.Logf("%d of %d are no wider than a telephone shows", narrow, all)
	if narrow*10 < all*9 {
		t.Errorf("only %d of %d are no wider than a telephone shows", narrow, all)
	}
}
