package safety

import (
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/safety/safetytest"
)

// The rule that speaks against a charger, in the corpus' sound cart with one change
// each: on the limits that the rules themselves are held to.
func TestAgainstCharger(t *testing.T) {
	for _, tt := range []struct{ changes, want string }{ // apart by semicolons
		{"use.rider = adult", ""},
		{"drop charger; packs.1.full = 34.5 V", ""},
		{"charger.chemistry = lfp", "charger-chemistry"},
		{"charger.voltage = 34.1 V", "charge-voltage-high"},
		{"packs.1.full = 33 V", "charger-above-pack"},
		{"charger.current = 40 A", "charge-current-high"},
		{"packs.1.full = 34.5 V", ""}, // that is the pack's, and no charger goes there
	} {
		a, err := txtar.ParseFile("testdata/sound/cart.txtar")
		if err != nil {
			t.Fatal(err)
		}
		for _, change := range strings.Split(tt.changes, "; ") {
			if err := safetytest.Apply(a, change); err != nil {
				t.Fatal(err)
			}
		}
		dir := t.TempDir()
		if err := txtar.Write(a, dir); err != nil {
			t.Fatal(err)
		}
		folder, err := notes.Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		var list finding.List
		j := journal.Load(folder, &list)
		folder.Close()
		versions := j.Vehicles[0].Versions
		if got := AgainstCharger(versions[len(versions)-1]); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.changes, got, tt.want)
		}
	}
}
