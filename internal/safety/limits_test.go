package safety

import (
	"testing"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// A value at its limit is neither above nor below it, however it was computed; one that can be told from it is.
func TestAboveAndBelow(t *testing.T) {
	for _, limit := range []quantity.Volts{0.1, 1, 24.5, 1e6, -20} {
		size := max(limit, -limit, 1)
		for _, tt := range []struct {
			value        quantity.Volts
			above, below bool
		}{
			{limit, false, false}, {limit + 0.8e-9*size, false, false}, {limit - 0.8e-9*size, false, false}, {limit + 1.3e-9*size, true, false}, {limit - 1.3e-9*size, false, true},
		} {
			if above(tt.value, limit) != tt.above || below(tt.value, limit) != tt.below {
				t.Errorf("%.12g against %g: above %t, below %t", float64(tt.value), float64(limit), above(tt.value, limit), below(tt.value, limit))
			}
		}
	}
	if !above(10*quantity.Volts(2.45), 24.4) || above(10*quantity.Volts(2.45), 24.5) || below(3*quantity.Volts(0.1), 0.3) {
		t.Error("a product is taken for another number")
	}
}

func TestCellsOf(t *testing.T) {
	chemistry := notes.Choice[journal.Chemistry]{Value: "nmc", Set: true}
	for _, tt := range []struct {
		pack journal.Pack
		ok   bool
	}{
		{journal.Pack{Chemistry: chemistry, Series: notes.Integer{Value: 1, Set: true}}, true},
		{journal.Pack{Chemistry: chemistry, Series: notes.Integer{Value: 0, Set: true}}, false},
		{journal.Pack{Chemistry: chemistry, Series: notes.Integer{Value: 8}}, false},
		{journal.Pack{Series: notes.Integer{Value: 8, Set: true}}, false},
	} {
		if _, _, ok := cellsOf(&tt.pack); ok != tt.ok {
			t.Errorf("%+v: %t", tt.pack, ok)
		}
	}
}

// Packs without a name are counted from 1; a pack of several that is said to have no fuse is named, wiring or not.
func TestUnnamedPacks(t *testing.T) {
	v := &journal.Version{Packs: make([]journal.Pack, 2), Wiring: &journal.Wiring{}}
	v.Packs[1].Fuse = journal.PackFuse{Set: true, None: true}
	for i, want := range []string{"pack 1", "pack 2"} {
		s := &subject{version: v, pack: &v.Packs[i]}
		if got := s.packName(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
		got := parallelFuse.judge(s)
		if i == 0 && len(got) > 0 || i == 1 && (len(got) != 1 || got[0].numbers != "no fuse") {
			t.Errorf("%s: %+v", want, got)
		}
	}
}
