package app

import (
	"slices"
	"strings"
	"testing"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/safety"
	"voltwright/internal/site/cautions"
)

// Every caution that the hazard table leaves cells to stands on the pages, in its first words.
func TestTheCautionsOfTheHazardTableStandOnThePages(t *testing.T) {
	pack := func(chemistry string) journal.Pack {
		return journal.Pack{Chemistry: notes.Choice[journal.Chemistry]{Value: journal.Chemistry(chemistry), Set: true}}
	}
	printed := cautions.ForRiders(&journal.Version{Packs: []journal.Pack{pack("nmc"), pack("lead-acid-agm")}})
	n, err := safety.CountHazards()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range n.Reasons {
		if !slices.ContainsFunc(printed, func(said string) bool { return strings.HasPrefix(said, r.Caution) }) {
			t.Errorf("no caution begins with %q", r.Caution)
		}
	}
	if len(n.Reasons) == 0 {
		t.Error("no cell is left to a caution")
	}
}
