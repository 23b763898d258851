package standing

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/study"
	"voltwright/internal/value"
)

// version reads a journal of one vehicle whose one version has this front matter beside its kind, name and date.
func version(t *testing.T, front string) (*value.Index, *journal.Version) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n" + front + "---\nWords.\n",
	} {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	folder, err := notes.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = folder.Close() })
	var found finding.List
	j := journal.Load(folder, &found)
	if found.Count(finding.Error) != 0 {
		t.Fatal(found.Sorted())
	}
	return value.New(j, nil), j.Vehicles[0].Versions[0]
}

// A version that states nothing answers every question with the key that is missing, and none with a number.
func TestWhatAJournalLacks(t *testing.T) {
	index, v := version(t, "")
	wanted := map[string]string{
		"run-time": "`packs`", "other-sizes": "`packs`", "charging": "`charger`", "cutout": "`cutout`", "reset": "`cutout`", "fuses": "`wiring`", "wire": "`wiring.leads`",
		"ends": "`wiring.leads`", "cost": "`parts`", "speed": "`drive`", "stopping": "`drive`", "weight": "`masses`", "temperature": "`packs.chemistry`", "storing": "`packs`", "age": "`packs`",
	}
	answers := Of(index, study.NewResults(), v)
	if len(answers) != len(questions) {
		t.Fatalf("%d answers to %d questions", len(answers), len(questions))
	}
	for _, a := range answers {
		for _, s := range a.Said {
			for _, p := range s {
				if p.Value != nil {
					t.Errorf("%s: says %s of a version that states nothing", a.Name, p.Value.Words())
				}
			}
		}
		key, lacks := wanted[a.Name]
		if !lacks { // there is no version before it, and nothing was taken back
			if a.State != Answered || a.Settles != "" || len(a.Said) != 1 {
				t.Errorf("%s: %s %q", a.Name, a.State, a.Words())
			}
			continue
		}
		if a.State != NotStated || !strings.HasPrefix(a.Settles, key) || !strings.Contains(a.Words(), "Not stated yet. "+key) {
			t.Errorf("%s: %s, %q, not the key %s", a.Name, a.State, a.Words(), key)
		}
		delete(wanted, a.Name)
	}
	if len(wanted) > 0 {
		t.Errorf("nothing asks %v", wanted)
	}
}

// What is stated and was not measured says so, with the run that would settle it.
func TestWhatIsNotMeasuredYet(t *testing.T) {
	index, v := version(t, `packs: [{chemistry: lfp, series: 8, capacity: 20 Ah, made: 2025-02-10}]
cutout: {opens: 24.6 V, reset-threshold: 1.6 V}
charger: {chemistry: lfp, voltage: 28.7 V, current: 10 A}
use: {rider: nobody}
drive: {ratio: 9, wheel: 125 mm, braking: {deceleration: 0.35 m/s²}}
masses: {vehicle: 96 kg, payload: 350 kg}
`)
	for _, want := range []struct{ name, says, run string }{
		{"run-time", "", "A field run from full until the cutout opens"},
		{"charging", "The charger gives 10 A up to 28.7 V.", "A charge from the cutout to full"},
		{"cutout", "The cutout is set to open at 24.6 V.", "A run until the cutout opens"},
		{"reset", "It closes again at 26.2 V: 1.6 V above where it opens.", "A run until the cutout opens, logged for half an hour"},
		{"speed", "Who rides: nobody.", "A field run with the speed in its log"},
		{"weight", "The heaviest payload or train that is stated is 350 kg, which makes 446 kg that are moved.", "A field run that states its payload"},
		{"temperature", "Charge it between 0 °C and 45 °C only", "A run with a temperature at the pack"},
		{"storing", "", "A rest of some days"},
		{"age", "The pack was made on 2025-02-10.", "A bench run from full"},
	} {
		found := false
		for _, a := range Of(index, study.NewResults(), v) {
			if a.Name != want.name {
				continue
			}
			found = true
			if !strings.Contains(a.Words(), want.says) {
				t.Errorf("%s: %q, not %q", a.Name, a.Words(), want.says)
			}
			if want.run != "" && (a.State != NotMeasured || !strings.HasPrefix(a.Settles, want.run) || !strings.Contains(a.Words(), "Not measured yet. ")) {
				t.Errorf("%s: %s, %q", a.Name, a.State, a.Settles)
			}
		}
		if !found {
			t.Errorf("nothing asks %s", want.name)
		}
	}
}

// A difference is called more than chance where it is more than its expanded uncertainty, k = 2, and nothing where both are stated.
func TestChance(t *testing.T) {
	for _, c := range []struct {
		difference, u float64
		want          string
	}{{2.01, 1, "hardly chance"}, {-2.01, 1, "hardly chance"}, {1.99, 1, "may be chance"}, {5, 0, "both are stated"}} {
		if got := chance(c.difference, c.u); !strings.Contains(got, c.want) {
			t.Errorf("%g ± %g: %q", c.difference, c.u, got)
		}
	}
}

func TestTwoFigures(t *testing.T) {
	for n, want := range map[float64]float64{312.17: 310, 1999: 2000, 47: 47, 0: 0} {
		if got := float64(twoFigures(quantity.Number(n))); got != want {
			t.Errorf("%g is %g, not %g", n, got, want)
		}
	}
}
