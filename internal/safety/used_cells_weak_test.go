package safety

import (
	"testing"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// A share is known where both its values are, and only there.
func TestAgainst(t *testing.T) {
	set := func(v quantity.Ohms) notes.Value[quantity.Ohms] {
		return notes.Value[quantity.Ohms]{Measured: quantity.Exact(v), Set: true}
	}
	if got, known := against(set(6), set(4)); !known || got != 1.5 {
		t.Errorf("6 against 4: %g, %v", got, known)
	}
	if _, known := against(set(6), notes.Value[quantity.Ohms]{}); known {
		t.Error("known without what it was when new")
	}
	if _, known := against(notes.Value[quantity.Ohms]{}, set(4)); known {
		t.Error("known without what was measured")
	}
}
