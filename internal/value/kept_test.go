package value

import (
	"testing"

	"voltwright/internal/journal"
)

// As many places are remembered as are said to be, those that came last; one that was let go is made again.
func TestPlacesAreLetGo(t *testing.T) {
	var k kept
	place := func(v *journal.Vehicle) journal.Place { return journal.Place{Vehicle: v} }
	all := make([]*journal.Vehicle, mostPlaces+3)
	entries := make([]*entry, len(all))
	for i := range all {
		all[i] = &journal.Vehicle{}
		entries[i] = k.entry(place(all[i]))
	}
	if len(k.entries) != mostPlaces || len(k.order) != mostPlaces {
		t.Fatalf("%d places are remembered in %d, want %d", len(k.entries), len(k.order), mostPlaces)
	}
	for i := 3; i < len(all); i++ {
		if k.entry(place(all[i])) != entries[i] {
			t.Fatalf("place %d of %d was let go", i, len(all))
		}
	}
	if k.entry(place(all[2])) == entries[2] {
		t.Error("the third place is remembered, and three more came than there is room for")
	}
}
